"""Prints, as one JSON document, reference figures of the tests. Inverse-compositional match with gain and bias on a pattern given by a formula: test/published/follower. cv2 is used where it is there.

Seeded where chance takes part. Shares no code with the product.
inverse-compositional LK with Euclidean warp + gain/bias on an analytic pattern; Hessian covariance; NCC; rolling shutter; blur."""
import json
import numpy as np
try:
    import cv2
except ImportError:  # what another program says of the same is then left out
    cv2 = None
from scipy.ndimage import map_coordinates, spline_filter
out={}
def pat(x,y):
    return (128+40*np.sin(2*np.pi*x/9.3+0.4)*np.cos(2*np.pi*y/11.7-0.3)+30*np.cos(2*np.pi*(x+0.6*y)/14.1)+20*np.sin(2*np.pi*(0.5*x-y)/7.9))
h=15; yy,xx=np.mgrid[-h:h+1,-h:h+1].astype(float)      # template coordinates, origin at its centre
T=pat(xx,yy)
def grads(F):                                           # exact-ish gradients of the cubic B-spline through the samples
    e=1e-4; return None
def jac_t(gx,gy): return np.stack([gx.ravel(),gy.ravel(),(-gx*yy+gy*xx).ravel(),T.ravel(),np.ones(T.size)],1)
e=1e-5; gx=(pat(xx+e,yy)-pat(xx-e,yy))/(2*e); gy=(pat(xx,yy+e)-pat(xx,yy-e))/(2*e)
J=jac_t(gx,gy); Hs=J.T@J
C=np.linalg.inv(Hs)
out["template"]="T(x,y)=128+40 sin(2pi x/9.3+0.4)cos(2pi y/11.7-0.3)+30 cos(2pi(x+0.6y)/14.1)+20 sin(2pi(0.5x-y)/7.9), x,y=-15..15"
out["sum gx^2, sum gy^2, sum gx gy"]=[float((gx*gx).sum()),float((gy*gy).sum()),float((gx*gy).sum())]
out["sd per grey level of noise: tx,ty [px], theta [mrad], gain, bias (one noisy image)"]=[float(v) for v in np.sqrt(np.diag(C))*np.array([1,1,1e3,1,1])]
C3=np.linalg.inv(J[:,:2].T@J[:,:2]); out["same, translation only"]=np.sqrt(np.diag(C3)).tolist()
# image: pattern moved by true warp, gain/bias, sampled on integer grid
def image(tx,ty,th,g,b,n=101,rng=None,sig=0):
    Y,X=np.mgrid[0:n,0:n].astype(float); c=n//2
    dx=X-c-tx; dy=Y-c-ty; x=np.cos(th)*dx+np.sin(th)*dy; y=-np.sin(th)*dx+np.cos(th)*dy
    I=g*pat(x,y)+b
    return I if rng is None else I+sig*rng.standard_normal(I.shape)
def iclk(I,Tm,p0=(0,0,0),iters=60,tol=1e-10):
    """minimise sum (I(W(x;p)) - (gain T + bias))^2; inverse compositional on the warp, gain/bias solved jointly each step"""
    c=I.shape[0]//2; F=spline_filter(I,order=3); tx,ty,th=p0
    G=spline_filter(np.pad(Tm,8,mode='reflect'),order=3)   # gradients of the stored (maybe noisy) template
    e=1e-3; q=lambda X,Y: map_coordinates(G,[Y+h+8,X+h+8],order=3,prefilter=False)
    gxs=(q(xx+e,yy)-q(xx-e,yy))/(2*e); gys=(q(xx,yy+e)-q(xx,yy-e))/(2*e)
    A=np.stack([gxs.ravel(),gys.ravel(),(-gxs*yy+gys*xx).ravel(),Tm.ravel(),np.ones(Tm.size)],1); P=np.linalg.pinv(A)
    for k in range(iters):
        Xw=c+tx+np.cos(th)*xx-np.sin(th)*yy; Yw=c+ty+np.sin(th)*xx+np.cos(th)*yy
        Iw=map_coordinates(F,[Yw,Xw],order=3,prefilter=False)
        z=P@Iw.ravel(); gain=z[3]; d=z[:3]/gain            # Iw ~ gain*T + bias + gain*(grad T . dW) delta
        # inverse composition: W <- W o W(delta)^-1
        dth=d[2]; tx2=tx-(np.cos(th-dth)*d[0]-np.sin(th-dth)*d[1]); ty2=ty-(np.sin(th-dth)*d[0]+np.cos(th-dth)*d[1]); th2=th-dth
        # sign: Iw(x)=T(x + delta) => correct by composing with the inverse of +delta
        tx,ty,th=tx2,ty2,th2
        if np.abs(d).max()<tol: break
    r=Iw-(gain*Tm+z[4]); return (tx,ty,th,gain,z[4]),k+1,float(np.sqrt(np.mean(r**2)))
true=(1.37,-2.21,0.035,1.12,-9.0)
p,k,r=iclk(image(*true),T,p0=(1,-2,0.0))
out["noise-free recovery"]={"true tx,ty,theta,gain,bias":true,"start":[1,-2,0],"found":[float(v) for v in p],"iterations":k,"rms residual":r}
rng=np.random.default_rng(11); sig=2.0; E=[]
for _ in range(400):
    p,k,r=iclk(image(*true,rng=rng,sig=sig),T,p0=(1,-2,0.0),iters=25,tol=1e-6); E.append(p)
E=np.array(E); sc=np.array([1,1,1e3])
out["MC sigma_n=2 grey, clean template"]={"mean error tx,ty[px],theta[mrad]":((E[:,:3].mean(0)-np.array(true[:3]))*sc).tolist(),"sd":(E[:,:3].std(0)*sc).tolist(),
   "Hessian sd = sigma_n/gain*sqrt(diag inv(J'J))":[float(v) for v in sig/true[3]*np.sqrt(np.diag(C))[:3]*sc]}
# sub-pixel bias sweep (noise free)
sw=[]
for f in np.arange(0,1,0.125):
    p,k,r=iclk(image(f,0,0,1,0),T,p0=(round(f),0,0)); sw.append(float(p[0]-f))
out["sub-pixel bias sweep cubic B-spline, px"]=sw
# NCC and parabola peak
I=image(0.3,-0.2,0,1,0)
m=None if cv2 is None else cv2.matchTemplate(I.astype(np.float32),T.astype(np.float32),cv2.TM_CCOEFF_NORMED)
if cv2 is not None:
    iy,ix=np.unravel_index(np.argmax(m),m.shape)
    def ncc(a,b): a=a-a.mean(); b=b-b.mean(); return float((a*b).sum()/np.sqrt((a*a).sum()*(b*b).sum()))
    sub=lambda l,c,r:(l-r)/(2*(l-2*c+r))
    out["NCC"]={"cv2 peak":float(m[iy,ix]),"ours":ncc(I[iy:iy+31,ix:ix+31],T),"parabola dx,dy":[float(ix+15-50+sub(m[iy,ix-1],m[iy,ix],m[iy,ix+1])),float(iy+15-50+sub(m[iy-1,ix],m[iy,ix],m[iy+1,ix]))],"true":[0.3,-0.2],
      "NCC invariant to gain/bias: ncc(1.3 I + 20, T)":ncc(1.3*I[iy:iy+31,ix:ix+31]+20,T)}
# rolling shutter
rs={}
for v,tr in ((2000,10e-6),(-2000,10e-6),(5000,15e-6)): rs[f"vy={v} px/s t_row={tr*1e6:.0f} us"]=1/(1-v*tr)
out["rolling shutter apparent/true speed along the scan = 1/(1 - v t_row)"]=rs
# brute force check
v=2000.;tr=10e-6;Tf=1/240; y=[ (50+v*k*Tf)/(1-v*tr) for k in range(5)]
out["rolling shutter check: fitted px/frame*240"]=float(np.polyfit(range(5),y,1)[0]*240)
out["rolling shutter horizontal shear for vx=9000 px/s, t_row=10us [rad]"]=9000*10e-6
out["rolling shutter time offset row 800 vs row 200, t_row=10 us [ms]"]=600*10e-3
out["motion blur px"]={f"{v} m/s, 1/{int(1/te)} s, {s*1e3} mm/px":v*te/s for v,te,s in ((18.,1/4000,2e-3),(18.,1/1000,2e-3),(30.,1/8000,1.25e-3))}
print(json.dumps(out,indent=1))
