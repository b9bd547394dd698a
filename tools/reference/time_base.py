"""Prints, as one JSON document, reference figures of the tests. Frame rates, drops, lost frames: test/published/time-base and drop-check.

Seeded where chance takes part. Shares no code with the product.
time base checks."""
import json, numpy as np
from scipy.integrate import solve_ivp
from scipy.special import expit
out={}
# normal gravity (WGS84 / Somigliana) with free-air term
def g_local(lat,h=0.0):
    s=np.sin(np.radians(lat))**2
    return 9.7803253359*(1+0.00193185265241*s)/np.sqrt(1-0.00669437999013*s)-3.086e-6*h
out["g(lat) m/s2"]={str(l):g_local(l) for l in (0,30,45,52,60,90)}; out["g(45,1000 m)"]=g_local(45,1000.)
# implied frame rate from a drop: y[px] = c0 + c1 k + A k^2/2 ;  f = sqrt(g s / A)
def implied(A,s,g): return np.sqrt(g*s/A)
def u_rel(N,sig,A,us_rel,ug_rel): return 0.5*np.sqrt((sig*np.sqrt(720/(N*(N**2-1)*(N**2-4)))/A)**2+us_rel**2+ug_rel**2)
g=9.81; s=500.0; f=240.0; h=1.5; N=int(np.floor(f*np.sqrt(2*h/g)))+1; A=g*s/f**2
out["drop example"]={"g":g,"s px/m":s,"f true":f,"h":h,"N":N,"A px/frame^2":A,"f implied":implied(A,s,g),"u(f)/f sigma=0.5px u_s=0.2%":u_rel(N,0.5,A,0.002,1e-4),"from A only":u_rel(N,0.5,A,0,0)}
# Deterministic data
k=np.arange(N); nz=((7919*(k+1))%101)/101-0.5; y=120+3.0*k+0.5*A*k**2+nz
c=np.polyfit(k,y,2); out["drop deterministic fit"]={"data":"y=120+3k+A k^2/2+(((7919(k+1)) mod 101)/101-0.5) px, A=9.81*500/240^2","A hat":float(2*c[0]),"f hat":float(implied(2*c[0],s,g)),"rms":float(np.sqrt(np.mean((np.polyval(c,k)-y)**2)))}
# quadratic drag correction of the fitted acceleration: y(t)=vt^2/g ln cosh(g t/vt); fit a parabola over [0,td]
def drag_ratio(m,d,Cd,h,rho=1.2,g=9.80665):
    vt=np.sqrt(2*m*g/(rho*Cd*np.pi*d*d/4)); td=vt/g*np.arccosh(np.exp(g*h/vt**2)); t=np.linspace(0,td,2001)
    yy=vt**2/g*np.log(np.cosh(g*t/vt)); c=np.polyfit(t,yy,2); return vt,td,2*c[0]/g
out["drag: vt, fall time, a_fit/g"]={n:list(map(float,drag_ratio(*a))) for n,a in {"tennis ball 58 g 67 mm Cd0.5, 1.5 m":(0.058,0.067,0.5,1.5),"steel ball 66 g 25.4 mm Cd0.47, 1.5 m":(0.066,0.0254,0.47,1.5),"table tennis 2.7 g 40 mm, 1.5 m":(0.0027,0.040,0.47,1.5)}.items()}
# conformed slow motion: container rate fc, capture rate fs
out["conformed"]={"captured 240 played 30: v scale if PTS trusted":30/240,"a scale":(30/240)**2,"captured 960 played 30: v,a":[30/960,(30/960)**2],"29.97 vs 30: v error %":100*(1-30000/1001/30)}
# two-event clock check (LED counter, clapper): f = n/dt
n,dt,ut=480,2.0,0.5e-3; out["two-event clock: f,u_rel"]=[n/dt,float(np.sqrt((0.5/np.sqrt(3)/n)**2*2+(ut/dt)**2))]
# duplicated frames: positions at 240 fps written as 240 with every 6th a duplicate (true 200)
kk=np.arange(60); true_idx=np.cumsum(np.r_[0,(np.arange(1,60)%6!=0).astype(int)]); x=true_idx*12.0
dx=np.diff(x); out["duplicates"]={"dup flags (1-based frame numbers)":[int(v)+2 for v in np.where(dx==0)[0]],"fraction":float((dx==0).mean()),"unique rate if container says 240":240*(1-float((dx==0).mean())),"speed from naive fit / true per unique frame":float(np.polyfit(kk,x,1)[0]/12.0)}
# PTS quantisation, e.g. 1/90000 s or 1 ms ticks
out["pts quantisation sd of an interval, tick q: q/sqrt6"]={"1 ms":1e-3/np.sqrt(6),"1/90000 s":1/90000/np.sqrt(6),"1/600 s":1/600/np.sqrt(6)}
# joint uncertainty of speed: v = (scale)*(px/frame)*f
out["u(v)/v with scale 0.3 %, f 0.2 %, fit 0.25 %"]=float(np.sqrt(.3**2+.2**2+.25**2))
print(json.dumps(out,indent=1))
