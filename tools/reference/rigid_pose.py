"""Prints, as one JSON document, reference figures of the tests. Weighted pose of a rigid body in the plane and its covariance: test/published/rigid-pose.

Seeded where chance takes part. Shares no code with the product.
2-D rigid pose (weighted Procrustes/Kabsch) and covariance."""
import json, numpy as np
from scipy.optimize import least_squares
from scipy.spatial.transform import Rotation
out={}
def pose2d(a,b,w=None):
    """b ~ R a + t. a reference (body) marks, b measured. returns theta,t,rss"""
    a=np.asarray(a,float); b=np.asarray(b,float); w=np.ones(len(a)) if w is None else np.asarray(w,float)
    ca=(w[:,None]*a).sum(0)/w.sum(); cb=(w[:,None]*b).sum(0)/w.sum(); A=a-ca; B=b-cb
    th=np.arctan2((w*(A[:,0]*B[:,1]-A[:,1]*B[:,0])).sum(),(w*(A*B).sum(1)).sum())
    R=np.array([[np.cos(th),-np.sin(th)],[np.sin(th),np.cos(th)]]); t=cb-R@ca
    return th,t,float((w*((B-A@R.T)**2).sum(1)).sum())
# case A: 4 marks, deterministic perturbation
a=np.array([[0.0,0.0],[0.30,0.02],[0.62,-0.01],[0.45,0.12]]); th0=np.deg2rad(12.5); t0=np.array([1.20,0.35])
R0=np.array([[np.cos(th0),-np.sin(th0)],[np.sin(th0),np.cos(th0)]])
e=np.array([[0.6,-0.4],[-0.8,0.5],[0.3,0.7],[-0.2,-0.9]])*1e-3
b=a@R0.T+t0+e
th,t,rss=pose2d(a,b)
out["A unweighted"]={"a":a.tolist(),"b":b.tolist(),"theta_deg":float(np.degrees(th)),"t":t.tolist(),"rss":rss,"sum r^2":float(((a-a.mean(0))**2).sum())}
s=1/np.array([0.5,1.0,0.5,2.0])*1e3; w=s**2
thw,tw,rssw=pose2d(a,b,w)
ca=(w[:,None]*a).sum(0)/w.sum()
out["A weighted sigma=0.5,1,0.5,2 mm"]={"theta_deg":float(np.degrees(thw)),"t":tw.tolist(),"chi2":rssw,"dof":2*4-3,"var_theta=1/sum w r^2":float(1/(w*((a-ca)**2).sum(1)).sum()),
   "sd_theta_mrad":float(1e3/np.sqrt((w*((a-ca)**2).sum(1)).sum()))}
# independent: Gauss-Newton least squares with full covariance
def res(p):
    R=np.array([[np.cos(p[2]),-np.sin(p[2])],[np.sin(p[2]),np.cos(p[2])]]); return ((a@R.T+p[:2]-b)*s[:,None]).ravel()
r=least_squares(res,[1,0,0],xtol=1e-15,ftol=1e-15,gtol=1e-15); C=np.linalg.inv(r.jac.T@r.jac)
out["A weighted via scipy.least_squares"]={"theta_deg":float(np.degrees(r.x[2])),"t":r.x[:2].tolist(),"sd_tx,ty_mm,theta_mrad":(1e3*np.sqrt(np.diag(C))).tolist(),"corr tx,theta":float(C[0,2]/np.sqrt(C[0,0]*C[2,2]))}
rot,rssd=Rotation.align_vectors(np.c_[b-b.mean(0),np.zeros(4)],np.c_[a-a.mean(0),np.zeros(4)])
out["A unweighted via Rotation.align_vectors"]={"theta_deg":float(np.degrees(rot.as_euler('zyx')[0])),"sqrt rss":float(rssd)}
# two marks: sd = sqrt2 sigma/d
out["two marks sigma 0.5 mm d 0.40 m: sd theta mrad"]=float(np.sqrt(2)*0.5e-3/0.4*1e3)
out["n marks on a line, equal spacing L total: sum r^2 = L^2 n(n+1)/(12(n-1))"]={n:float(((np.linspace(0,1,n)-.5)**2).sum()) for n in (2,3,4,5)}
out["formula"]={n:n*(n+1)/(12*(n-1)) for n in (2,3,4,5)}
# Monte Carlo
rng=np.random.default_rng(7); sig=0.5e-3; T=[]; Q=[]; q=np.array([0.9,0.0])
for _ in range(20000):
    bb=a@R0.T+t0+sig*rng.standard_normal(a.shape); th,t,_=pose2d(a,bb); T.append(th)
    Rr=np.array([[np.cos(th),-np.sin(th)],[np.sin(th),np.cos(th)]]); Q.append(Rr@q+t)
A0=a-a.mean(0); vth=sig**2/(A0**2).sum(); qq=q-a.mean(0); Jq=R0@np.array([-qq[1],qq[0]])
out["MC sigma 0.5mm n=4"]={"sd_theta_mrad formula":float(1e3*np.sqrt(vth)),"MC":float(1e3*np.std(T)),
  "point q=(0.9,0) sd x,y mm formula":(1e3*np.sqrt(np.array([sig**2/4+vth*Jq[0]**2,sig**2/4+vth*Jq[1]**2]))).tolist(),"MC ":(1e3*np.std(Q,axis=0)).tolist()}
# pitch rate: theta sd -> slope sd
out["pitch rate sd rad/s, sd_theta 1.25 mrad, N=11, 480 fps (deg1/2 mid)"]=float(1.25e-3*480*np.sqrt(12/(11*(121-1))))
print(json.dumps(out,indent=1))
