"""Prints, as one JSON document, reference figures of the tests. ISO 6358, isentropic flow, flow coefficients, blow-down, bounds of work: test/published/iso-6358, isentropic, flow-coefficients, blow-down.

Seeded where chance takes part. Shares no code with the product.
ISO 6358, isentropic flow, Cv/Kv/C, blow-down, work bounds."""
import json, numpy as np
from scipy.optimize import brentq
from scipy.integrate import solve_ivp, quad
out={}
g=1.4; R=287.05; T0=293.15; rho0=1.185; pa=101325.0
def qm(C,b,p1,T1,p2,m=0.5):
    r=p2/p1
    return C*rho0*p1*np.sqrt(T0/T1)*(1.0 if r<=b else max(0.0,1-((r-b)/(1-b))**2)**m)
o={}
for p2 in (1.0e5,1.5e5,2.5e5,4.0e5,4.9e5): o[f"p1=5 bar abs, p2={p2/1e5} bar, T1=293.15"]=qm(2e-8,0.30,5e5,293.15,p2)
out["ISO6358 q_m kg/s, C=2 dm3/(s bar)=2e-8 m3/(s Pa), b=0.30"]=o
out["published worked example (manufacturer datasheet): C=2,b=.3, 5->4 bar abs 20C: 420 dm3/min ANR (graph); exact"]=qm(2e-8,0.3,5e5,293.15,4e5)/rho0*60e3
out["T1=263.15 K"]=qm(2e-8,0.30,5e5,263.15,1e5)
# isentropic relations gamma=1.4
iso={}
for M in (0.1,0.3,0.5,0.8,1.0,1.5,2.0):
    t=1/(1+0.2*M*M); iso[M]={"T/T0":t,"p/p0":t**3.5,"rho/rho0":t**2.5,"A/A*":(1/M)*((1+0.2*M*M)/1.2)**3}
out["isentropic gamma=1.4"]=iso
out["p*/p0,T*/T0,rho*/rho0"]=[(2/(g+1))**(g/(g-1)),2/(g+1),(2/(g+1))**(1/(g-1))]
Psi=np.sqrt(g)*(2/(g+1))**((g+1)/(2*(g-1))); out["choked flow function mdot sqrt(R T0)/(A p0)"]=Psi
out["choked mdot/(A p0) sqrt(T0) [SI], R=287.05"]=Psi/np.sqrt(R)
# saint venant-wantzel subsonic
def noz(A,p1,T1,p2):
    r=max(p2/p1,(2/(g+1))**(g/(g-1))); return A*p1/np.sqrt(R*T1)*np.sqrt(2*g/(g-1)*(r**(2/g)-r**((g+1)/g)))
out["nozzle A=50 mm2, 5 bar abs, 293.15 K kg/s"]={f"p2={p/1e5} bar":noz(50e-6,5e5,293.15,p) for p in (1e5,3e5,4e5,4.9e5)}
rr=np.linspace(.53,.999,200); bst=min(((np.max(np.abs(np.sqrt(1-((rr-b)/(1-b))**2)-np.array([noz(1,1,1,x)/noz(1,1,1,.1) for x in rr]))),b) for b in (0.528,)))
out["ellipse with b=0.528 vs exact nozzle: max |diff| of flow ratio"]=float(bst[0])
# C <-> effective area, Cv, Kv
C_per_A=Psi/np.sqrt(R*T0)/rho0
out["C per effective area m3/(s Pa m2)"]=C_per_A
gal=3.785411784e-3/60; psi=6894.757293; rw=999.016  # water 60F
A_cv=gal/np.sqrt(2*psi/rw); out["effective area of Cv=1 (water, mm2)"]=A_cv*1e6
out["Kv/Cv"]=gal*3600/np.sqrt(psi/1e5)/np.sqrt(999.016/1000.)  # definition Kv: m3/h at 1 bar, 
c={}
c["(a) area equivalence, ideal nozzle: C [dm3/(s bar)] per Cv"]=C_per_A*A_cv*1e8
N6=27.3
for xT in (0.7,0.72,0.75): 
    W=0.667*N6*np.sqrt(xT*1.0*1.185)  # kg/h for p1=1 bar, rho1=1.185
    c[f"(b) IEC 60534 choked gas eq, xT={xT}: C per Cv"]=W/3600/1.185*1e3
c["(c) manufacturer rule S=18 Cv, S=5.0 C (from memory): C per Cv"]=3.6
c["(d) common simulation default C=4e-8 m3/(s Pa) per Cv (from memory)"]=4.0
out["C per Cv"]=c
# blow-down
V=3e-3; C=2e-7; b=0.30; Ti=293.15; pi=4.0e5+pa
tau=V/(C*rho0*R*np.sqrt(T0*Ti)); 
bd={"V,C,b,Ti,pi":[V,C,b,Ti,pi],"tau s":tau}
p_un=pa/b; bd["unchoke pressure pa"]=p_un
bd["t unchoke isothermal"]=tau*np.log(pi/p_un) if p_un<pi else None
bd["t unchoke adiabatic"]=tau*2/(g-1)*((pi/p_un)**((g-1)/(2*g))-1) if p_un<pi else None
for t in (0.01,0.02,0.03): bd[f"t={t}: p isothermal, p adiabatic, T adiabatic, m/mi adiabatic"]=[pi*np.exp(-t/tau),pi*(1+(g-1)/2*t/tau)**(-2*g/(g-1)),Ti*(1+(g-1)/2*t/tau)**-2,(1+(g-1)/2*t/tau)**(-2/(g-1))]
def ad(t,y):
    m,p=y; T=p*V/(m*R); q=qm(C,b,p,T,pa); return [-q,-g*R*T/V*q]
s=solve_ivp(ad,[0,0.6],[pi*V/(R*Ti),pi],method='DOP853',rtol=1e-12,atol=1e-14,dense_output=True)
bd["ODE adiabatic p at 0.02,0.05,0.1,0.2"]=[float(s.sol(t)[1]) for t in (0.02,0.05,0.1,0.2)]
def isof(t,y): return [-R*Ti/V*qm(C,b,y[0],Ti,pa)]
s2=solve_ivp(isof,[0,0.6],[pi],method='DOP853',rtol=1e-12,atol=1e-8,dense_output=True)
bd["ODE isothermal p at 0.02,0.05,0.1,0.2"]=[float(s2.sol(t)[0]) for t in (0.02,0.05,0.1,0.2)]
out["blow-down"]=bd
# work bounds
A=np.pi/4*0.041**2; L=0.60; Vs=A*L; m=1.6
def bounds(p0,Vt,Vs):
    return {"const-p":(p0-pa)*Vs,"isothermal":p0*Vt*np.log((Vt+Vs)/Vt)-pa*Vs,"adiabatic":p0*Vt/(g-1)*(1-(Vt/(Vt+Vs))**(g-1))-pa*Vs}
w={}
for name,(p0,Vt,D,L,m) in {"3 L 4 bar g 41 mm 0.60 m 1.6 kg":(4e5+pa,3e-3,.041,.6,1.6),"1 L 6 bar g 32 mm 0.45 m 0.9 kg":(6e5+pa,1e-3,.032,.45,.9),"3 L 4 bar g 41 mm 1.20 m 0.25 kg":(4e5+pa,3e-3,.041,1.2,.25)}.items():
    Vs=np.pi/4*D*D*L; B=bounds(p0,Vt,Vs); w[name]={k+" W J":v for k,v in B.items()}; w[name].update({k+" v m/s (no friction, horizontal)":float(np.sqrt(2*v/m)) for k,v in B.items()})
out["work bounds"]=w
print(json.dumps(out,indent=1))
