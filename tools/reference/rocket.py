"""Prints, as one JSON document, reference figures of the tests. Motors, boost from rest, vertical shot, barometric height: test/published/rocket, vertical-shot, barometric.

Seeded where chance takes part. Shares no code with the product.
motors, boost from rest, vertical shot with quadratic drag, barometric height."""
import json, numpy as np
from scipy.integrate import solve_ivp, cumulative_trapezoid
from scipy.optimize import brentq
out={}; g0=9.80665
# --- invented thrust curve (piecewise linear), newtons
t=np.array([0,.03,.12,.20,.28,.40,.80,1.40,1.75,1.85]); F=np.array([0,4.,9.,14.,9.,5.5,4.8,4.6,4.4,0.])
I=np.trapezoid(F,t); Ic=np.r_[0,cumulative_trapezoid(F,t)]; mp=0.0108
out["thrust curve"]={"t":t.tolist(),"F":F.tolist(),"total impulse N s (exact for piecewise linear)":float(I),"cumulative":Ic.tolist(),"average thrust over 1.85 s":float(I/1.85),"propellant kg":mp,"Isp s":float(I/mp/g0),"v_e m/s":float(I/mp),"burn time at 5% of peak (0.7 N) start..end":None}
def inv(level,rising):
    idx=[k for k in range(len(t)-1) if (F[k]-level)*(F[k+1]-level)<0]; k=idx[0] if rising else idx[-1]
    return t[k]+(level-F[k])/(F[k+1]-F[k])*(t[k+1]-t[k])
out["thrust curve"]["burn time at 5% of peak (0.7 N) start..end"]=[float(inv(.7,True)),float(inv(.7,False))]
letters=["1/8A","1/4A","1/2A","A","B","C","D","E","F","G","H","I","J","K","L","M","N","O"]; hi=[0.3125*2**k for k in range(len(letters))]
def letter(J): return next(l for l,h in zip(letters,hi) if J<=h)
out["class upper limits N s"]={l:h for l,h in zip(letters,hi)}; out["letter"]={str(J):letter(J) for J in (float(I),2*float(I),0.625,2.50,2.51,5.0,5.01,10.0,10.01,20.0,20.01)}
# I(t) inside a segment (exact quadratic)
def Fi(tt): return np.interp(tt,t,F,left=0,right=0)
def Ii(tt):
    tt=min(max(tt,0),t[-1]); k=min(np.searchsorted(t,tt,side='right')-1,len(t)-2); dt=tt-t[k]; s=(F[k+1]-F[k])/(t[k+1]-t[k]); return Ic[k]+F[k]*dt+s*dt*dt/2
# --- boost of an airframe by two motors from rest on a rail, angle 20 deg
def boost(k1=1.0,k2=1.0,m0=0.60,th=20.0,CdA=0.006,rho=1.225,Lrail=1.0,mu=0.0,Iyy=0.018,Izz=0.025,h=0.006,w=0.20,delay2=0.0,tend=2.5):
    thr=np.radians(th)
    def f(tt,y):
        x,v,q,om,ps,r=y; F1=k1*Fi(tt); F2=k2*Fi(tt-delay2); m=m0-mp*(k1>0)*Ii(tt)/I-mp*(k2>0)*Ii(tt-delay2)/I
        free=x>=Lrail
        a=(F1+F2)/m-g0*np.sin(thr)-0.5*rho*CdA*v*abs(v)/m
        if x<=0 and a<0: a=0.0
        return [v,a,om if free else 0.0,((F1+F2)*h/Iyy) if free else 0.0, r if free else 0.0, ((F1-F2)*w/2/Izz) if free else 0.0]
    y=np.zeros(6); T=0.0; brk=sorted(set(np.r_[t,t+delay2,tend])); rail=None; lift=None
    for b in brk:
        if b<=T: continue
        while T<b-1e-15:
            ev=lambda tt,y: y[0]-Lrail
            ev.terminal=True; ev.direction=1
            ev2=lambda tt,y: (k1*Fi(tt)+k2*Fi(tt-delay2))-(m0)*g0*np.sin(thr)
            ev2.terminal=True; ev2.direction=1
            e=[]; 
            if rail is None: e.append(ev)
            if lift is None: e.append(ev2)
            s=solve_ivp(f,[T,b],y,method='DOP853',rtol=1e-12,atol=1e-14,events=e or None,max_step=0.01); T=float(s.t[-1]); y=s.y[:,-1].copy()
            if e:
                for fn,te in zip(e,s.t_events):
                    if len(te):
                        if fn is ev: rail=(T,float(y[1])); y[0]=Lrail
                        else: lift=T; 
        if abs(b-t[-1])<1e-12: burn=(T,float(y[0]),float(y[1]))
    return dict(liftoff_s=lift,rail_exit=rail,burnout_t_x_v=burn,end_pitch_deg_rate=[float(np.degrees(y[2])),float(y[3])],end_yaw_deg_rate=[float(np.degrees(y[4])),float(y[5])])
out["boost equal"]={"inputs":"m0 0.60 kg incl. 2x10.8 g propellant, 20 deg, rail 1.0 m, CdA 0.006 m2, rho 1.225, Iyy .018, Izz .025, thrust line 6 mm above cg, motors +-0.10 m; gravity along the path only, no aerodynamic moments",**boost()}
out["boost motor2 = 0.9"]=boost(1,0.9); out["boost motor2 0.15 s late"]=boost(1,1,delay2=0.15); out["boost one motor dead"]=boost(1,0)
# closed form: constant thrust, no drag, linear mass flow
F0,tb,m0,mpp=12.0,1.5,0.6,0.0216; md=mpp/tb; ve=F0/md
cf=-ve*np.log(1-mpp/m0)-g0*np.sin(np.radians(20))*tb; s=solve_ivp(lambda tt,y:[y[1],F0/(m0-md*tt)-g0*np.sin(np.radians(20))],[0,tb],[0,0],rtol=1e-12,atol=1e-13)
out["closed form constant thrust: v(tb)"]={"F,tb,m0,mp,theta":[F0,tb,m0,mpp,20],"v":float(cf),"ode":float(s.y[1,-1]),"x closed":float(ve*((tb-m0/md)*np.log(m0/(m0-md*tb))+tb)-.5*g0*np.sin(np.radians(20))*tb**2),"x ode":float(s.y[0,-1])}
out["pitch: I alpha = F d"]={"F 10 N, d 6 mm, I .018": 10*.006/.018}
out["thrust misalignment moment, F sin(eps) L, eps 1 deg, L .35 m, F 10 N"]=float(10*np.sin(np.radians(1))*.35)
# --- vertical shot
def up(v0,vt): return vt**2/(2*g0)*np.log(1+(v0/vt)**2), vt/g0*np.arctan(v0/vt)
def inv0(h,vt): return vt*np.sqrt(np.expm1(2*g0*h/vt**2))
def down(h,vt): return vt*np.sqrt(-np.expm1(-2*g0*h/vt**2)), vt/g0*np.arccosh(np.exp(g0*h/vt**2))
ft=0.3048; h=120.0
v={"h m":h,"no drag v0":float(np.sqrt(2*g0*h)),"no drag t_up":float(np.sqrt(2*h/g0))}
for vt in (40.,60.,80.,120.): v[f"vt={vt}: v0"]=float(inv0(h,vt)); v[f"vt={vt}: t_up"]=float(up(inv0(h,vt),vt)[1]); v[f"vt={vt}: descent v,t"]=list(map(float,down(h,vt)))
out["apogee inverse"]=v
out["forward"]={f"v0={a},vt={b}":list(map(float,up(a,b))) for a,b in ((40.461859577279284,60.),(50.,60.),(60.,80.),(30.,25.))}
s=solve_ivp(lambda tt,y:[y[1],-g0*(1+(y[1]/60.)**2)],[0,10],[0,50.],events=[type('e',(),{'__call__':lambda self,tt,y:y[1],'terminal':True})()],rtol=1e-12,atol=1e-13); out["ode check v0=50 vt=60 h,t"]=[float(s.y[0,-1]),float(s.t[-1])]
out["dv0/dh at 120 m"]={str(vt):float(g0*(1+(inv0(h,vt)/vt)**2)/inv0(h,vt)) for vt in (60.,120.)}; out["no drag: u(v)/v = u(h)/(2h), u(h)=2 m"]=2/(2*h)
m,Cd,d=0.25,0.35,0.041; out["vt of 0.25 kg, Cd .35, 41 mm, rho 1.225"]=float(np.sqrt(2*m*g0/(1.225*Cd*np.pi*d*d/4)))
# density variation (ISA) effect
def isa_rho(z): return 1.225*(1-2.25577e-5*z)**4.25588
s=solve_ivp(lambda tt,y:[y[1],-g0*(1+(y[1]/60.)**2*isa_rho(y[0])/1.225)],[0,10],[0,60.],events=[type('e',(),{'__call__':lambda self,tt,y:y[1],'terminal':True})()],rtol=1e-12,atol=1e-13); out["ISA density vs constant, v0=60,vt=60: apogee"]=[float(s.y[0,-1]),float(up(60.,60.)[0])]
# --- barometric, ISO 2533 constants
p0,T0,L,Rg=101325.0,288.15,0.0065,287.05287; n=g0/(L*Rg)
def p_of(H,p0=p0,T0=T0): return p0*(1-L*H/T0)**n
def H_of(p,p0=p0,T0=T0): return T0/L*(1-(p/p0)**(1/n))
out["ISO 2533"]={"exponent g/(RL)":n,"1/n":1/n,"T0/L":T0/L,"p(H) Pa":{str(H):p_of(H) for H in (-500,0,50,100,120.0,150,500,1000,2000,11000)},"T":{str(H):T0-L*H for H in (0,1000,11000)},"rho":{str(H):p_of(H)/(Rg*(T0-L*H)) for H in (0,100,1000)},"dp/dH at 0 Pa/m":-p0*g0/(Rg*T0)}
out["geometric 1000 m -> geopotential r=6356766"]=6356766*1000/(6356766+1000)
# temperature effect: altimeter assumes ISA with pad pressure p0; true atmosphere T_pad = 30 C / 0 C
r={}
for Tp in (273.15,288.15,303.15):
    hh=120.0; ppad=101325.; pa=ppad*(1-L*hh/Tp)**n; ind=H_of(pa,ppad,T0); r[f"T_pad={Tp}: indicated for true 120.0 m"]=ind; r[f"T_pad={Tp}: true when it indicates 120.0 m"]=float(brentq(lambda z:H_of(ppad*(1-L*z/Tp)**n,ppad,T0)-120.0,50,250)); r[f"T_pad={Tp}: simple factor"]=120.0*Tp/288.15
out["baro temperature effect"]=r
out["altimeter noise: 1 Pa -> m at sea level ISA"]=Rg*T0/(p0*g0)
print(json.dumps(out,indent=1))
