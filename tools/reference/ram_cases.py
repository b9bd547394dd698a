"""Prints, as one JSON document, reference figures of the tests. The compressed-air ram, case by case: test/published/ram-cases.

Seeded where chance takes part. Shares no code with the product.
tank -> ISO 6358 valve -> cylinder/piston(/rod chamber).  8-digit reference values.
States: m_t,p_t (tank), m_c,p_c (drive chamber), m_r,p_r (rod chamber), x, v.   Adiabatic unless stated."""
import json, numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import minimize_scalar
G=1.4; R=287.05; T0=293.15; RHO0=1.185; PA=101325.0; TA=293.15; GRAV=9.80665; RLAM=1.0
BASE=dict(Vt=3.0e-3,pg=4.0e5,D=0.041,L=0.60,Vd=40e-6,C=2.0e-7,b=0.30,to=0.015,m=1.6,theta=10.0,Fc=20.0,Fs=20.0,B=8.0,rod=None,iso=False)
def qiso(C,b,p1,T1,p2):
    r=p2/p1
    if r<=b: w=1.0
    elif r>=1: w=0.0
    elif r>RLAM: w=np.sqrt(1-((RLAM-b)/(1-b))**2)*(1-r)/(1-RLAM)   # optional linearisation near zero flow (off: RLAM=1) 
    else: w=np.sqrt(1-((r-b)/(1-b))**2)
    return C*RHO0*p1*np.sqrt(T0/max(T1,1.0))*w
def valve(s,C,b,pA,TA_,pB,TB):
    """signed mass flow A->B and upstream temperature"""
    if pA>=pB: return qiso(s*C,b,pA,TA_,pB),TA_
    return -qiso(s*C,b,pB,TB,pA),TB
def run(case,method='DOP853',rtol=1e-12):
    c=dict(BASE); c.update(case); A=np.pi/4*c['D']**2; th=np.radians(c['theta']); gs=GRAV*np.sin(th); m=c['m']
    rod=c['rod']; Ar=A-np.pi/4*rod['d']**2 if rod else 0.0; g=1.0 if c['iso'] else G
    pt0=c['pg']+PA
    def TT(mm,p,V): return TA if c['iso'] else p*V/(mm*R)
    def unpack(y):
        Vc=c['Vd']+A*y[6]; Vr=(rod['V0']+Ar*(c['L']-y[6])) if rod else 1.0
        return Vc,Vr,TT(y[0],y[1],c['Vt']),TT(y[2],y[3],Vc),(TT(y[4],y[5],Vr) if rod else TA)
    def fnet(y):  # without friction
        return (y[3]-PA)*A-((y[5]-PA)*Ar if rod else 0.0)-m*gs
    def rhs(t,y,moving,opening):
        Vc,Vr,Tt,Tc,Tr=unpack(y); s=t/c['to'] if opening else 1.0; v=y[7] if moving else 0.0
        q,Tu=valve(s,c['C'],c['b'],y[1],Tt,y[3],Tc)
        d=[-q,-g*R*Tu*q/c['Vt'],q,(g*R*Tu*q-g*y[3]*A*v)/Vc,0.0,0.0,v,0.0]
        if rod:
            qr,Tur=valve(1.0,rod['C'],rod['b'],y[5],Tr,PA,TA); d[4]=-qr; d[5]=(-g*R*Tur*qr+g*y[5]*Ar*v)/Vr
        if moving: d[7]=(fnet(y)-c['Fc']-c['B']*v)/m
        return d
    Vr0=rod['V0']+Ar*c['L'] if rod else 1.0
    y=[pt0*c['Vt']/(R*TA),pt0,PA*c['Vd']/(R*TA),PA,PA*Vr0/(R*TA),PA,0.0,0.0]; t=0.0
    atol=np.array([1e-16,1e-8,1e-18,1e-8,1e-18,1e-8,1e-15,1e-13])*(rtol/1e-12)
    segs=[]; opening=c['to']>0; moving=(fnet(y)-c['Fs']>0) or (c['Fs']==0.0 and fnet(y)>=0); tstart=0.0 if moving else None; info={}
    for _ in range(10):
        ev=[]
        if not moving:
            e1=lambda t,y: fnet(y)-c['Fs']; e1.terminal=True; e1.direction=1; ev.append(('start',e1))
        else:
            e2=lambda t,y: y[6]-c['L']; e2.terminal=True; e2.direction=1; ev.append(('exit',e2))
            e3=lambda t,y: y[7]+1e-3 ; e3.terminal=True; e3.direction=-1; ev.append(('stall',e3))
        e4=lambda t,y: y[3]-c['b']*y[1]; e4.terminal=True; e4.direction=0; ev.append(('r=b',e4))
        tend=c['to'] if opening else t+5.0
        s=solve_ivp(lambda t,y:rhs(t,y,moving,opening),[t,tend],y,method=method,rtol=rtol,atol=atol,events=[e for _,e in ev],dense_output=True,max_step=(0.5e-3 if method!='DOP853' else 1e-3))
        segs.append((s.t[0],s.t[-1],s.sol,moving,opening)); t=float(s.t[-1]); y=s.y[:,-1].copy()
        hit=[n for (n,_),te in zip(ev,s.t_events) if len(te)]
        if 'exit' in hit: break
        if 'stall' in hit and y[6]>1e-9: info['stalled']=True; break
        if 'start' in hit: moving=True; tstart=t; continue
        if 'r=b' in hit:
            info['t_subsonic']=t; y[3]=c['b']*y[1]*(1+1e-13); 
            # step over the event
            continue
        if s.status==0 and opening: opening=False
    # peak acceleration
    def acc(tt):
        for a,b_,sol,mv,op in segs:
            if a-1e-15<=tt<=b_+1e-15:
                return rhs(tt,sol(tt),mv,op)[7] if mv else 0.0
    best=(-1,None)
    for a,b_,sol,mv,op in segs:
        if not mv: continue
        tt=np.linspace(a,b_,4001); aa=np.array([rhs(q,sol(q),mv,op)[7] for q in tt]); k=int(np.argmax(aa))
        lo,hi=tt[max(0,k-1)],tt[min(4000,k+1)]
        r=minimize_scalar(lambda q:-rhs(q,sol(q),mv,op)[7],bounds=(lo,hi),method='bounded',options=dict(xatol=1e-13))
        for cand,ta in ((-r.fun,r.x),(aa[k],tt[k])):
            if cand>best[0]: best=(float(cand),float(ta))
    Vc,Vr,Tt,Tc,Tr=unpack(y)
    # energy audit: internal energy drop of tank + drive chamber = piston work;  work = kinetic + friction + gravity + pa*A*L + rod side
    E0=(pt0*c['Vt']+PA*c['Vd'])/(G-1); E1=(y[1]*c['Vt']+y[3]*Vc)/(G-1)
    W=0.0
    for a,b_,sol,mv,op in segs:
        if mv:
            n=2001; tt=np.linspace(a,b_,n); f=np.array([sol(q)[3]*A*sol(q)[7] for q in tt]); h=(b_-a)/(n-1)
            W+=h/3*(f[0]+f[-1]+4*f[1:-1:2].sum()+2*f[2:-1:2].sum())
    res={"exit speed m/s":float(y[7]),"exit time s":t,"start of motion s":tstart,"peak accel m/s2":best[0],"t peak s":best[1],"accel at exit m/s2":float(rhs(t,y,True,opening)[7]),
         "p_tank exit Pa":float(y[1]),"p_cyl exit Pa":float(y[3]),"T_tank exit K":float(Tt),"T_cyl exit K":float(Tc),"m through valve kg":float(y[2]-PA*c['Vd']/(R*TA)),
         "p_rod exit Pa":float(y[5]) if rod else None,"piston work J":float(W),"energy residual (E0-E1-W)/W":(None if c['iso'] else float((E0-E1-W)/W)),"mass residual":float((y[0]+y[2])-(pt0*c['Vt']+PA*c['Vd'])/(R*TA))}
    res.update(info); return res,segs,c
CASES={
 "1 baseline":{},
 "2 baseline + rod chamber back pressure":dict(rod=dict(d=0.016,C=0.8e-7,b=0.35,V0=30e-6)),
 "3 small tank, small slow valve, 45 deg, break-away":dict(Vt=1.0e-3,pg=6.0e5,D=0.032,L=0.45,Vd=25e-6,C=0.6e-7,b=0.25,to=0.030,m=0.9,theta=45.0,Fc=25.0,Fs=40.0,B=5.0),
 "4 vertical sabot shot, 41 mm barrel":dict(L=1.20,Vd=60e-6,C=3.0e-7,m=0.25,theta=90.0,Fc=10.0,Fs=10.0,B=2.0),
 "5 baseline isothermal":dict(iso=True),
 "6 frictionless horizontal, instant valve, C=2e-7":dict(to=0.0,Fc=0.,Fs=0.,B=0.,theta=0.,Vd=1e-6),
}
if __name__=="__main__":
    out={"constants":dict(gamma=G,R=R,T0=T0,rho0=RHO0,pa=PA,T_init=TA,g=GRAV),"inputs":{k:{**BASE,**v} for k,v in CASES.items()}}
    for k,v in CASES.items():
        r,segs,c=run(v); alt={}
        for meth,rt in (('Radau',1e-10),('LSODA',1e-11),('DOP853',1e-10)):
            q,_,_=run(v,meth,rt); alt[f"{meth} rtol {rt}"]={kk:q[kk] for kk in ("exit speed m/s","exit time s","peak accel m/s2","p_tank exit Pa","p_cyl exit Pa")}
        out[k]={"reference DOP853 rtol 1e-12":r,"other integrators":alt,"max rel spread of those five":max(abs(alt[a][kk]/r[kk]-1) for a in alt for kk in alt[a])}
        # trajectory table
        tab=[]
        for f in (0.25,0.5,0.75,1.0):
            xt=f*c['L']
            for a,b_,sol,mv,op in segs:
                if mv and sol(a)[6]<=xt<=sol(b_)[6]+1e-12:
                    from scipy.optimize import brentq
                    tq=b_ if abs(sol(b_)[6]-xt)<1e-12 else brentq(lambda q:sol(q)[6]-xt,a,b_,xtol=1e-15); yq=sol(tq); tab.append({"x/L":f,"t":float(tq),"v":float(yq[7]),"p_t":float(yq[1]),"p_c":float(yq[3])}); break
        out[k]["trajectory"]=tab
    # sensitivities of case 1: relative change of exit speed per relative change of input (central, +-1 %)
    sens={}
    for key in ('C','m','pg','Vd','Vt','D','L','Fc','B','to','b'):
        v0=BASE[key]; a=dict({key:v0*1.01}); b=dict({key:v0*0.99})
        if key=='Fc': a['Fs']=v0*1.01; b['Fs']=v0*.99
        va=run(a,'DOP853',1e-11)[0]; vb=run(b,'DOP853',1e-11)[0]
        sens[key]={"dln v/dln "+key:(va["exit speed m/s"]-vb["exit speed m/s"])/(0.02*out["1 baseline"]["reference DOP853 rtol 1e-12"]["exit speed m/s"]),"dln apk/dln "+key:(va["peak accel m/s2"]-vb["peak accel m/s2"])/(0.02*out["1 baseline"]["reference DOP853 rtol 1e-12"]["peak accel m/s2"])}
    out["sensitivities of case 1"]=sens
    # limit: infinite valve, no dead volume -> adiabatic closed form
    lim={}; RLAM=0.999   # regularised for the stiff limit only
    A=np.pi/4*.041**2; p0=4e5+PA; W=p0*3e-3/(G-1)*(1-(3e-3/(3e-3+A*.6))**(G-1))-PA*A*.6; lim["closed form adiabatic v"]=float(np.sqrt(2*W/1.6))
    for C in (2e-7,1e-6,5e-6,2e-5):
        r,_,_=run(dict(to=0.0,Fc=0.,Fs=0.,B=0.,theta=0.,Vd=1e-6,C=C),'LSODA',1e-10); lim[f"C={C}, Vd=1e-6"]=r["exit speed m/s"]
    out["limit check"]=lim
    print(json.dumps(out,indent=1))
