"""Prints, as one JSON document, reference figures of the tests. Flight after release and the bifilar pendulum: test/published/flight and free-fall.

Seeded where chance takes part. Shares no code with the product.
flight after release, pitch offset, bifilar pendulum."""
import json, numpy as np
from scipy.integrate import solve_ivp, quad
out={}; g=9.80665; rho=1.225
vs=lambda m,S,CL,n=1.0,rho=rho: np.sqrt(2*n*m*g/(rho*S*CL))
m,S,CL=1.2,0.25,1.1
out["stall speed m/s m=1.2,S=.25,CLmax=1.1"]={"n=1":float(vs(m,S,CL)),"n=1.5":float(vs(m,S,CL,1.5)),"n=2":float(vs(m,S,CL,2)),"rho=1.112 (1000 m)":float(vs(m,S,CL,1,1.112))}
out["bank 45 deg: n, Vs factor"]=[1/np.cos(np.radians(45)),1/np.sqrt(np.cos(np.radians(45)))]
V=14.119444187701806; out["margin V/Vs at 14.1194 m/s"]=V/vs(m,S,CL); out["available load factor (V/Vs)^2"]=(V/vs(m,S,CL))**2
out["tail gust 3 m/s: airspeed ratio"]=(V-3)/vs(m,S,CL)
a=4.5; U=3.0; out["sharp gust dn = rho V a U S/(2 m g), U=3 m/s, a=4.5/rad"]=rho*V*a*U*S/(2*m*g)
c=0.2; mu=2*m/(rho*c*a*S); Kg=0.88*mu/(5.3+mu); out["gust alleviation Kg=0.88mu/(5.3+mu), mu=2m/(rho c a S), c=.2"]=[mu,Kg,Kg*rho*V*a*U*S/(2*m*g)]
out["angle-of-attack change atan(U/V) deg"]=float(np.degrees(np.arctan(U/V)))
out["height to regain Vs from V=6: (Vs^2-V^2)/(2g)"]=float((vs(m,S,CL)**2-36)/(2*g)); out["energy height at release V^2/2g"]=V*V/2/g
# free fall below stall: level release at V0, T/W constant net forward accel, lift = W (V/Vs)^2 capped at W
def sink(V0,tw,Vs,tend=3.0):
    f=lambda t,y:[y[1],-g*(1-min(1.0,((V0+g*tw*t)/Vs)**2))]
    tf=(Vs-V0)/(g*tw); s=solve_ivp(f,[0,tf],[0,0],rtol=1e-12,atol=1e-14); return float(tf),float(s.y[0,-1]),float(s.y[1,-1])
out["below stall: V0=6,T/W net=0.5,Vs=8.3558.. -> t to Vs, height lost, sink rate"]=sink(6.0,0.5,float(vs(m,S,CL)))
# closed form: k=g tw ; h=-g[ t^2/2 - (V0^2 t^2/2+V0 k t^3/3+k^2 t^4/12)/Vs^2 ]
Vs=vs(m,S,CL); k=g*.5; t=(Vs-6)/k; out["closed form height"]=float(-g*(t*t/2-(36*t*t/2+6*k*t**3/3+k*k*t**4/12)/Vs**2))
# push line offset
out["d = I alpha/F: I=.018, alpha=25 rad/s2, F=480 N -> mm"]=1e3*.018*25/480
I,uI,al,ua,F,uF=.018,.0005,25.,4.,480.,12.; out["u(d) mm"]=1e3*(I*al/F)*np.sqrt((uI/I)**2+(ua/al)**2+(uF/F)**2)
out["pitch rate after constant alpha push 75 ms: rad/s, deg"]=[25*.0753,float(np.degrees(.5*25*.0753**2))]
# bifilar: equal parallel cords, separation D, length L, body at angle psi
def bif_I(m,D,L,T,g=g): return m*g*D*D*T*T/(16*np.pi**2*L)
out["bifilar I = m g D^2 T^2/(16 pi^2 L): m=1.2,D=.30,L=1.5,T=1.80"]=bif_I(1.2,.30,1.5,1.80)
def period(I,m,D,L,psi0):
    """exact period incl. vertical kinetic energy: 1/2 I w^2 + 1/2 m z'^2 = m g (z0 - z), z=L-sqrt(L^2-(D sin(psi/2))^2)"""
    z=lambda p:L-np.sqrt(L*L-(D*np.sin(p/2))**2); dz=lambda p:D*D*np.sin(p/2)*np.cos(p/2)/2/np.sqrt(L*L-(D*np.sin(p/2))**2)
    def integrand(u):   # psi=psi0 sin u
        p=psi0*np.sin(u); return np.sqrt((I+m*dz(p)**2)/(2*m*g*(z(psi0)-z(p))))*psi0*np.cos(u)
    xg,wg=np.polynomial.legendre.leggauss(80); u=(xg+1)*np.pi/4
    return 4*float(sum(w*integrand(q) for q,w in zip(u,wg))*np.pi/4)
I0=bif_I(1.2,.30,1.5,1.80); out["exact T/T0 vs amplitude (D/L=.2)"]={str(d):period(I0,1.2,.30,1.5,np.radians(d))/1.80 for d in (1,5,10,15,20,30)}
out["1+psi^2/16"]={str(d):1+np.radians(d)**2/16 for d in (5,10,20,30)}
out["u(I)/I, u_D=.5mm,u_L=2mm,u_T=2ms(10 periods),u_m=1g"]=float(np.sqrt((2*.5e-3/.30)**2+(2e-3/1.5)**2+(2*2e-4/1.80)**2+(1e-3/1.2)**2))
out["compound pendulum I_cg = m g l T^2/(4pi^2) - m l^2 (m=1.2,l=.5,T=1.48)"]=1.2*g*.5*1.48**2/(4*np.pi**2)-1.2*.25
print(json.dumps(out,indent=1))
