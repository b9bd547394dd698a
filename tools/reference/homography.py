"""Prints, as one JSON document, reference figures of the tests. Plane from known points, radial and tangential distortion, straight lines: test/published/homography and lens. Needs OpenCV's cv2.

Seeded where chance takes part. Shares no code with the product.
normalised DLT homography + covariance, Brown-Conrady distortion, plumb-line. Cross-checked with cv2."""
import json
import numpy as np
try:
    import cv2
except ImportError:  # what another program says of the same is then left out
    cv2 = None
from scipy.optimize import least_squares
out={}
def norm_T(p):
    c=p.mean(0); s=np.sqrt(2)/np.mean(np.linalg.norm(p-c,axis=1)); return np.array([[s,0,-s*c[0]],[0,s,-s*c[1]],[0,0,1]])
def ap(H,p):
    q=np.c_[p,np.ones(len(p))]@H.T; return q[:,:2]/q[:,2:]
def dlt(src,dst,normalise=True):
    T1=norm_T(src) if normalise else np.eye(3); T2=norm_T(dst) if normalise else np.eye(3); a=ap(T1,src); b=ap(T2,dst); A=[]
    for (x,y),(u,v) in zip(a,b):
        A+=[[-x,-y,-1,0,0,0,u*x,u*y,u],[0,0,0,-x,-y,-1,v*x,v*y,v]]
    A=np.array(A); U,S,V=np.linalg.svd(A); H=np.linalg.inv(T2)@V[-1].reshape(3,3)@T1; return H/H[2,2],S
# scene: plane metres -> pixels
Htrue=np.array([[820.,35.,410.],[-12.,-790.,980.],[0.031,-0.012,1.0]])
# exact 4-point case
w4=np.array([[0,0],[1.5,0],[1.5,1.0],[0,1.0]],float); p4=ap(Htrue,w4)
H4,_=dlt(w4,p4); Hc=cv2.getPerspectiveTransform(w4.astype(np.float32),p4.astype(np.float32)) if cv2 else H4
out["4 points"]={"world":w4.tolist(),"pixels":p4.tolist(),"H":H4.tolist(),"max|dlt-true|":float(np.abs(H4-Htrue).max()),"max|cv2-true| (float32 inputs)":float(np.abs(Hc-Htrue).max())}
# 3x4 grid with deterministic noise
gx,gy=np.meshgrid(np.linspace(0,1.5,4),np.linspace(0,1.0,3)); w=np.c_[gx.ravel(),gy.ravel()]; p=ap(Htrue,w)
i=np.arange(12); n=np.c_[((37*(i+1))%29)/29-0.5,((53*(i+1))%31)/31-0.5]*0.8
pn=p+n
Hd,S=dlt(w,pn); Hu,_=dlt(w,pn,False)
def res(h): return (ap(np.append(h,1).reshape(3,3),w)-pn).ravel()
r=least_squares(res,Hd.ravel()[:8],x_scale='jac',xtol=1e-15,ftol=1e-15,gtol=1e-15); Hml=np.append(r.x,1).reshape(3,3)
Hcv=cv2.findHomography(w,pn,0)[0] if cv2 else dlt(w,pn)[0]
out["12 points"]={"world":w.tolist(),"pixels":pn.tolist(),"H normalised DLT":Hd.tolist(),"rms reproj px DLT":float(np.sqrt(np.mean(res(Hd.ravel()[:8])**2))),
 "H ML (least_squares)":Hml.tolist(),"rms reproj px ML":float(np.sqrt(np.mean(r.fun**2))),"sigma_hat px = sqrt(SSE/(2n-8))":float(np.sqrt((r.fun**2).sum()/(24-8))),
 "cv2.findHomography(method=0)":Hcv.tolist(),"max|cv2-ML| relative":float((np.abs(Hcv-Hml)/np.abs(Hml)).max()),"rms reproj px un-normalised DLT":float(np.sqrt(np.mean(res(Hu.ravel()[:8])**2)))}
# covariance of a back-projected point
def world(h,uv): return ap(np.linalg.inv(np.append(h,1).reshape(3,3)),np.atleast_2d(uv))[0]
def jac(f,x,eps):
    J=[]
    for k in range(len(x)):
        d=np.zeros(len(x)); d[k]=eps*max(1,abs(x[k])); J.append((f(x+d)-f(x-d))/(2*d[k]))
    return np.array(J).T
Ch=np.linalg.inv(r.jac.T@r.jac)   # for sigma = 1 px
cov={}
for uv in ([900.,600.],[1500.,900.],[300.,300.]):
    uv=np.array(uv); Jh=jac(lambda h:world(h,uv),r.x,1e-7); Ju=jac(lambda u:world(r.x,u),uv,1e-6); sp=0.3
    C=sp**2*(Jh@Ch@Jh.T+Ju@Ju.T); cov[str(uv.tolist())]={"world m":world(r.x,uv).tolist(),"sd mm (sigma 0.3 px: H and point)":(1e3*np.sqrt(np.diag(C))).tolist(),"sd mm from the point alone":(1e3*sp*np.sqrt(np.diag(Ju@Ju.T))).tolist()}
out["back-projected covariance"]=cov
# Monte Carlo of the same
rng=np.random.default_rng(3); uv=np.array([900.,600.]); p_ml=ap(Hml,w); X=[]
for _ in range(4000):
    Hk=dlt(w,p_ml+0.3*rng.standard_normal(p_ml.shape))[0]; X.append(ap(np.linalg.inv(Hk),np.atleast_2d(uv+0.3*rng.standard_normal(2)))[0])
out["MC sd mm at (900,600)"]=(1e3*np.std(X,axis=0)).tolist()
# Brown-Conrady (OpenCV order k1,k2,p1,p2,k3): normalised x -> distorted
K=np.array([[1400.,0,960],[0,1400,540],[0,0,1]]); D=np.array([-0.21,0.09,0.0007,-0.0004,-0.012])
def distort(x,y,D):
    k1,k2,p1,p2,k3=D; r2=x*x+y*y; f=1+k1*r2+k2*r2**2+k3*r2**3
    return x*f+2*p1*x*y+p2*(r2+2*x*x), y*f+p1*(r2+2*y*y)+2*p2*x*y
def undistort(xd,yd,D,n=200):
    x,y=xd,yd
    for _ in range(n):
        k1,k2,p1,p2,k3=D; r2=x*x+y*y; f=1+k1*r2+k2*r2**2+k3*r2**3
        x,y=(xd-2*p1*x*y-p2*(r2+2*x*x))/f,(yd-p1*(r2+2*y*y)-2*p2*x*y)/f
    return x,y
tab=[]
for x,y in [(0.1,0.05),(0.4,-0.2),(-0.6,0.35),(0.65,0.37)]:
    xd,yd=distort(x,y,D); pc=cv2.projectPoints(np.array([[[x,y,1.0]]]),np.zeros(3),np.zeros(3),K,D)[0].ravel() if cv2 else np.zeros(2)
    xu,yu=undistort(xd,yd,D); pu=cv2.undistortPoints(np.array([[[1400*xd+960,1400*yd+540]]]),K,D).ravel() if cv2 else np.zeros(2)
    tab.append({"x,y":[x,y],"xd,yd":[xd,yd],"pixel":[1400*xd+960,1400*yd+540],"|ours-cv2.projectPoints| px":float(np.hypot(pc[0]-(1400*xd+960),pc[1]-(1400*yd+540))),
      "round trip error":float(np.hypot(xu-x,yu-y)),"cv2.undistortPoints 5-iter error":float(np.hypot(pu[0]-x,pu[1]-y))})
out["brown"]={"K":K.tolist(),"D k1,k2,p1,p2,k3":D.tolist(),"cases":tab}
# plumb-line: estimate k1 (and k2) of the *undistortion* model from straight lines
def undist_poly(xd,yd,q): r2=xd*xd+yd*yd; f=1+q[0]*r2+q[1]*r2**2; return xd*f,yd*f
lines=[]
for c in (-0.35,-0.2,0.2,0.35):
    s=np.linspace(-0.6,0.6,25); x,y=distort(s,np.full(25,c),np.array([-0.21,0.09,0,0,0])); lines.append((x,y))
for c in (-0.6,-0.3,0.3,0.6):
    s=np.linspace(-0.35,0.35,15); x,y=distort(np.full(15,c),s,np.array([-0.21,0.09,0,0,0])); lines.append((x,y))
def straight(x,y):
    m=np.array([x.mean(),y.mean()]); C=np.cov(np.c_[x,y].T,bias=True); wv,V=np.linalg.eigh(C); nrm=V[:,0]; nrm=nrm*np.sign(nrm[np.argmax(np.abs(nrm))]); return (np.c_[x,y]-m)@nrm
def f(q): return np.concatenate([straight(*undist_poly(x,y,q)) for x,y in lines])*1400
rr=least_squares(f,[0,0],xtol=1e-14,ftol=1e-14)
out["plumb line"]={"before rms px":float(np.sqrt(np.mean(f([0,0])**2))),"q1,q2 (undistort polynomial)":rr.x.tolist(),"after rms px":float(np.sqrt(np.mean(rr.fun**2))),"series inverse of k1: q1 ~ -k1":0.21,"q2 ~ 3k1^2-k2":3*0.21**2-0.09}
def f3(k): return np.concatenate([straight(*undistort(x,y,np.array([k[0],k[1],0,0,0]),60)) for x,y in lines])*1400
r3=least_squares(f3,[0,0],xtol=1e-14,ftol=1e-14)
out["plumb line, exact inverse of the forward model"]={"k1,k2":r3.x.tolist(),"after rms px":float(np.sqrt(np.mean(r3.fun**2)))}
def without(one):
    """The figures that another program gives, left out where it is not there."""
    if isinstance(one, dict): return {k: without(v) for k, v in one.items() if "cv2" not in k}
    return [without(v) for v in one] if isinstance(one, list) else one
print(json.dumps(out if cv2 else without(out),indent=1))
