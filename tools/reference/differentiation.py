"""Prints, as one JSON document, reference figures of the tests. What local polynomials cost and miss, smoothing splines, a change point: test/published/differentiation, savitzky-golay, smoothing-spline, change-point.

Seeded where chance takes part. Shares no code with the product.
Savitzky-Golay tables, noise gain, CRLB, bias/variance, GCV spline, change point."""
import json
from fractions import Fraction as F
import numpy as np
from scipy.signal import savgol_coeffs
from scipy.interpolate import make_smoothing_spline, BSpline
from scipy.optimize import minimize_scalar
out = {}
# ---------- 1a published integer tables (Savitzky & Golay 1964; corrected Steinier et al. 1972)
tables = {  # (N, polyorder, deriv): (integers, norm)
 "N5 p2 d0": ([-3,12,17,12,-3],35), "N7 p2 d0": ([-2,3,6,7,6,3,-2],21), "N9 p2 d0": ([-21,14,39,54,59,54,39,14,-21],231),
 "N5 p2 d1": ([-2,-1,0,1,2],10), "N7 p2 d1": ([-3,-2,-1,0,1,2,3],28), "N9 p2 d1": ([-4,-3,-2,-1,0,1,2,3,4],60),
 "N5 p4 d1": ([1,-8,0,8,-1],12), "N7 p4 d1": ([22,-67,-58,0,58,67,-22],252), "N9 p4 d1": ([86,-142,-193,-126,0,126,193,142,-86],1188),
 "N5 p2 d2": ([2,-1,-2,-1,2],7), "N7 p2 d2": ([5,0,-3,-4,-3,0,5],42), "N9 p2 d2": ([28,7,-8,-17,-20,-17,-8,7,28],462),
 "N7 p4 d2": ([-13,67,-19,-70,-19,67,-13],132), "N9 p4 d2": ([-126,371,151,-211,-370,-211,151,371,-126],1716),
 "N7 p4 d0": ([5,-30,75,131,75,-30,5],231), "N9 p4 d0": ([15,-55,30,135,179,135,30,-55,15],429)}
dev = {}
for k,(ints,norm) in tables.items():
    N,p,d = [int(s[1:]) for s in k.split()]
    c = savgol_coeffs(N,p,deriv=d,use='dot')
    dev[k] = float(np.max(np.abs(c-np.array(ints)/norm)))
out["sg_table_max_dev"] = dev
# end-point (one sided) coefficients: value/derivatives at the LAST sample
out["sg_end"] = {f"N{N} p{p} d{d} last": savgol_coeffs(N,p,deriv=d,pos=N-1,use='dot').tolist()
                 for N,p,d in [(5,2,1),(7,2,1),(7,3,1),(7,2,2)]}

# ---------- 1b exact variance factors  var = factor * sigma^2 / T^(2 d)
def exact_factor(N,p,d,pos):
    """exact rational variance factor of the d-th derivative at offset pos (samples, from centre) of a degree p LSQ fit"""
    ks=[F(2*i-(N-1),2)-pos for i in range(N)]
    M=[[sum(k**(i+j) for k in ks) for j in range(p+1)] for i in range(p+1)]
    n=p+1
    A=[row[:]+[F(int(i==j)) for j in range(n)] for i,row in enumerate(M)]
    for c in range(n):
        piv=next(r for r in range(c,n) if A[r][c]!=0); A[c],A[piv]=A[piv],A[c]
        pv=A[c][c]; A[c]=[v/pv for v in A[c]]
        for r in range(n):
            if r!=c and A[r][c]!=0:
                f=A[r][c]; A[r]=[a-f*b for a,b in zip(A[r],A[c])]
    import math
    return A[d][n+d]*math.factorial(d)**2
# closed forms
cf = {
 "v mid p1,p2": lambda N: F(12, N*(N**2-1)),
 "v end p1":    lambda N: F(12, N*(N**2-1)),
 "v end p2":    lambda N: F(12*(2*N-1)*(8*N-11), N*(N**2-1)*(N**2-4)),
 "a any p2 / mid p3": lambda N: F(720, N*(N**2-1)*(N**2-4)),
 "x end p1":    lambda N: F(2*(2*N-1), N*(N+1)),
 "x end p2":    lambda N: F(3*(3*N**2-3*N+2), N*(N+1)*(N+2)),
}
# fit numerators for the cubic cases (denominator N(N^2-1)(N^2-4)(N^2-9)) by exact interpolation
def interp_poly(xs,ys):
    n=len(xs); A=[[F(x)**j for j in range(n)]+[y] for x,y in zip(xs,ys)]
    for c in range(n):
        piv=next(r for r in range(c,n) if A[r][c]!=0); A[c],A[piv]=A[piv],A[c]
        pv=A[c][c]; A[c]=[v/pv for v in A[c]]
        for r in range(n):
            if r!=c and A[r][c]!=0:
                f=A[r][c]; A[r]=[a-f*b for a,b in zip(A[r],A[c])]
    return [A[i][n] for i in range(n)]
D3=lambda N: N*(N**2-1)*(N**2-4)*(N**2-9)
xs=list(range(5,14))
num={}
for name,d,posf in [("v mid p3",1,lambda N:F(0)),("v end p3",1,lambda N:F(N-1,2)),("a end p3",2,lambda N:F(N-1,2)),("x end p3",0,lambda N:F(N-1,2))]:
    co=interp_poly(xs,[exact_factor(N,3,d,posf(N))*D3(N) for N in xs])
    assert all(sum(c*F(N)**j for j,c in enumerate(co))/D3(N)==exact_factor(N,3,d,posf(N)) for N in (17,24,31))
    num[name]=[str(c) for c in co]
out["cubic_numerators_ascending_powers_of_N_over_N(N2-1)(N2-4)(N2-9)"]=num
chk={}
for nm,f in cf.items():
    for N in (5,9,15,30):
        d={'v':1,'a':2,'x':0}[nm[0]]; p=2 if 'p2' in nm else 1
        pos=F(N-1,2) if 'end' in nm else F(0)
        assert f(N)==exact_factor(N,p,d,pos),nm
    chk[nm]={N:float(f(N)) for N in (5,9,15,30)}
out["closed_form_factors"]=chk
fac={}
for N in (5,7,9,11,15,21,31,51):
    row={}
    for p in (1,2,3,4):
        if p>=N: continue
        row[f"p{p} v_mid"]=float(exact_factor(N,p,1,F(0))); row[f"p{p} v_end"]=float(exact_factor(N,p,1,F(N-1,2)))
        if p>=2: row[f"p{p} a_mid"]=float(exact_factor(N,p,2,F(0))); row[f"p{p} a_end"]=float(exact_factor(N,p,2,F(N-1,2)))
    fac[N]=row
out["variance_factors"]=fac
# worked numbers: sigma=0.5 mm, 240 and 960 fps
w={}
for fps in (240,960):
    for N in (9,21):
        T=1/fps; s=0.5e-3
        w[f"fps{fps} N{N}"]={"sd v mid p2":s/T*float(exact_factor(N,2,1,F(0)))**.5,"sd v end p2":s/T*float(exact_factor(N,2,1,F(N-1,2)))**.5,
                             "sd a p2":s/T**2*float(exact_factor(N,2,2,F(0)))**.5}
out["worked_sd_sigma_0p5mm"]=w
# consistency with savgol_coeffs
for N,p,d in [(9,2,1),(15,3,1),(21,2,2),(11,4,2)]:
    assert abs((savgol_coeffs(N,p,deriv=d)**2).sum()-float(exact_factor(N,p,d,F(0))))<1e-12
# ---------- 1c bias
b={}
for N in (5,9,21):
    k=np.arange(N)-(N-1)/2
    b[N]={"v bias per (jerk T^2), p2":float(savgol_coeffs(N,2,deriv=1,use='dot')@k**3/6),"formula (3N2-7)/120":(3*N*N-7)/120,
          "a bias per (snap T^2), p2":float(savgol_coeffs(N,2,deriv=2,use='dot')@k**4/24),"formula (3N2-13)/168":(3*N*N-13)/168}
out["bias"]=b
def nopt(sig,T,j=None,s=None):
    r={}
    if j: r["N_opt v"]=(14400*sig**2/(j**2*T**6))**(1/7)
    if s: r["N_opt a"]=(2822400*sig**2/(s**2*T**8))**(1/9)
    return r
out["optimum_window"]={"sigma 0.5mm fps 240 jerk 5e3 snap 4e5":nopt(.5e-3,1/240,5e3,4e5),"sigma 0.5mm fps 960 jerk 5e3 snap 4e5":nopt(.5e-3,1/960,5e3,4e5)}
# exact MSE-optimal odd N for the same cases
def best(sig,T,j,s):
    Ns=np.arange(5,401,2)
    mv=[12*sig**2/(T*T*N*(N*N-1))+(j*T*T*(3*N*N-7)/120)**2 for N in Ns.astype(float)]
    ma=[720*sig**2/(T**4*N*(N*N-1)*(N*N-4))+(s*T*T*(3*N*N-13)/168)**2 for N in Ns.astype(float)]
    return {"N v":int(Ns[np.argmin(mv)]),"rmse v":float(min(mv)**.5),"N a":int(Ns[np.argmin(ma)]),"rmse a":float(min(ma)**.5)}
out["optimum_window_exact"]={"240":best(.5e-3,1/240,5e3,4e5),"960":best(.5e-3,1/960,5e3,4e5)}
# ---------- 1d attenuation of a half-sine acceleration peak (duration D, window W=(N-1)T), SG deg 2 second derivative at the peak
att={}
N=201; k=np.arange(N)-(N-1)/2; c2=savgol_coeffs(N,2,deriv=2,use='dot')
for r in (0.1,0.2,0.3,0.5,0.75,1.0):
    D=(N-1)/r; wv=np.pi/D   # T=1
    # position inside the pulse: x=-(1/w^2) cos(w t) (+linear), peak accel = 1 at t=0
    xpos=-(1/wv**2)*np.cos(wv*k)
    att[str(r)]={"measured/true":float(c2@xpos),"1-(pi r)^2/56":1-(np.pi*r)**2/56}
out["half_sine_peak_ratio_vs_W_over_D"]=att
# step in acceleration at the window centre (release): SG deg2 a = half; velocity bias
tt=k; x=np.where(tt<0,0.5*tt**2,0.0)   # a=1 before, 0 after, v(0)=0
out["release_edge"]={"a_hat/a at the step":float(c2@x),"v_hat at step /(a*W)":float(savgol_coeffs(N,2,deriv=1,use='dot')@x)/(N-1),"theory v = -3/32 aW":-3/32}
# ---------- 1e smoothing spline with GCV (scipy >=1.10 make_smoothing_spline), deterministic data
n=60; i=np.arange(n); xs_=i/ (n-1); noise=((7919*(i+1))%101)/101-0.5
y=np.sin(2*np.pi*xs_)+0.2*noise
y_gcv=y.copy(); spl=make_smoothing_spline(xs_,y); pts=[0.0,0.25,0.5,0.75,1.0]
res={"data":"x=i/59, y=sin(2 pi x)+0.2*(((7919*(i+1)) mod 101)/101-0.5), i=0..59",
     "scipy own GCV search (coarse) f":[float(spl(p)) for p in pts],"scipy own GCV search f'":[float(spl(p,1)) for p in pts],"scipy own GCV search f''":[float(spl(p,2)) for p in pts]}
for lam in (1e-3,1e-5):
    s2=make_smoothing_spline(xs_,y,lam=lam); res[f"lam {lam} f"]=[float(s2(p)) for p in pts]; res[f"lam {lam} f'"]=[float(s2(p,1)) for p in pts]
# independent Reinsch solution + GCV for lam (penalty lam * int f''^2, sum of squares unweighted)
def reinsch(x,y,lam):
    n=len(x); h=np.diff(x); Q=np.zeros((n,n-2)); R=np.zeros((n-2,n-2))
    for j in range(n-2):
        Q[j,j]=1/h[j]; Q[j+1,j]=-1/h[j]-1/h[j+1]; Q[j+2,j]=1/h[j+1]
        R[j,j]=(h[j]+h[j+1])/3
        if j+1<n-2: R[j,j+1]=R[j+1,j]=h[j+1]/6
    K=Q@np.linalg.solve(R,Q.T); H=np.linalg.inv(np.eye(n)+lam*K)
    return H@y,H
def gcv(x,y,l10):
    f,H=reinsch(x,y,10**l10); n=len(x)
    return n*np.sum((y-f)**2)/(n-np.trace(H))**2
m=minimize_scalar(lambda l:gcv(xs_,y,l),bounds=(-10,0),method='bounded',options=dict(xatol=1e-10))
f,H=reinsch(xs_,y,10**m.x)
sg=make_smoothing_spline(xs_,y,lam=10**m.x)
res["at the true GCV minimum: f, f', f'' at 0,.25,.5,.75,1 via make_smoothing_spline(x,y,lam=lam_gcv)"]=[[float(sg(p,q)) for p in pts] for q in (0,1,2)]
res["max |scipy(lam_gcv) - reinsch|"]=float(np.max(np.abs(sg(xs_)-f)))
res.update({"reinsch lam_gcv":float(10**m.x),"gcv min":float(m.fun),"edf tr(H)":float(np.trace(H)),"sigma_hat sqrt(RSS/(n-edf))":float(np.sqrt(np.sum((y-f)**2)/(n-np.trace(H)))),
            "max |scipy - reinsch| at knots":float(np.max(np.abs(spl(xs_)-f))),"f(x0),f(x_end)":[float(f[0]),float(f[-1])]})
out["gcv_spline"]=res
# ---------- 1f CRLB of release speed, piecewise model
def crlb_piece(Npush,Nfree,ppush,T,sigma,known_tr,a_r=0.0,jr=0.0,free_acc_known=True):
    """params: x_r, v_r, push derivatives at t_r^- (a_r, j_r, ... up to ppush), [free accel], [t_r]"""
    tp=-(np.arange(Npush)+0.5)[::-1]*T; tf=(np.arange(Nfree)+0.5)*T
    t=np.r_[tp,tf]; J=[np.ones_like(t),t]
    from math import factorial
    for q in range(2,ppush+1): J.append(np.where(t<0,t**q/factorial(q),0))
    if not free_acc_known: J.append(np.where(t>=0,t**2/2,0))
    if not known_tr: # d x/d t_r with the break moving: -(dx/dt) on each side;  x_r,v_r kept as values at the break
        d=np.where(t<0,-(a_r*t+jr*t*t/2),0.0)  # derivative wrt t_r beyond the x_r,v_r part (v_r cancels into x_r)
        # full: push: -(v+a t+j t^2/2); free: -v  -> subtract v*d/dx_r (same on both sides) => column above; keep full for clarity
        J.append(d)
    J=np.array(J).T; C=np.linalg.inv(J.T@J)*sigma**2
    return float(np.sqrt(C[1,1]))
T=1/480; s=0.5e-3
out["crlb_release_speed_480fps_sigma0p5mm"]={
 "free flight only, linear, N=24":s/T*float(F(12,24*(24**2-1)))**.5,
 "free flight only, quadratic, at first sample, N=24":s/T*float(exact_factor(24,2,1,-F(23,2)))**.5,
 "push cubic 24 + free linear(g known) 24, t_r known":crlb_piece(24,24,3,T,s,True),
 "same, t_r unknown, a_r=150, j_r=-2000":crlb_piece(24,24,3,T,s,False,150.,-2000.),
 "push quadratic 24 + free 24, t_r unknown, a_r=150":crlb_piece(24,24,2,T,s,False,150.,0.)}
# ---------- 1g change-point fit, deterministic data
fps=480.; t=np.arange(48)/fps; tr=0.0517; a0=220.; jk=-2500.
def truth(t):
    v_r=a0*tr+jk*tr**2/2; x_r=a0*tr**2/2+jk*tr**3/6
    return np.where(t<tr,a0*t**2/2+jk*t**3/6,x_r+v_r*(t-tr)),v_r
x0,vr=truth(t); i=np.arange(48); nz=(((7919*(i+1))%101)/101-0.5)*1.0e-3
y=x0+nz
def prof(trh):
    u=t-trh; p=u<0
    A=np.c_[np.ones_like(t),u,np.where(p,u**2/2,0),np.where(p,u**3/6,0)]
    c,*_=np.linalg.lstsq(A,y,rcond=None); r=y-A@c
    return r@r,c
g=np.linspace(0.03,0.08,2001); S=[prof(z)[0] for z in g]; z0=g[int(np.argmin(S))]
m=minimize_scalar(lambda z:prof(z)[0],bounds=(z0-2e-4,z0+2e-4),method='bounded',options=dict(xatol=1e-12))
S0,c=prof(m.x)
A9=np.polyfit(t[-20:]-t[-1],y[-20:],1)
out["change_point"]={"setup":"t=k/480,k=0..47; a=220-2500t until 0.0517 s then coasting; y=x+1e-3*(((7919(k+1)) mod 101)/101-0.5) m",
 "true v_r":vr,"true t_r":tr,"t_r hat":float(m.x),"v_r hat":float(c[1]),"a_r hat (at release)":float(c[2]),"true a_r":a0+jk*tr,"SSE":float(S0),"rms resid mm":float(1e3*np.sqrt(S0/48)),
 "for contrast: SG p2 N=15 centred on release frame v":float(savgol_coeffs(15,2,deriv=1,use='dot')@y[25-7:25+8]*fps),
 "for contrast: linear fit last 20 frames v":float(A9[0])}
# fixed-lambda agreement of scipy and the Reinsch form
out["gcv_spline"]["max |scipy - reinsch| fixed lam=1e-3"]=float(np.max(np.abs(make_smoothing_spline(xs_,y_gcv,lam=1e-3)(xs_)-reinsch(xs_,y_gcv,1e-3)[0])))
# cubic end-point closed forms
ok=all(F(8*(2*N-1)*(N*N-N+3),N*(N+1)*(N+2)*(N+3))==exact_factor(N,3,0,F(N-1,2)) and
       F(1440*(2*N-1)*(9*N-13),D3(N))==exact_factor(N,3,2,F(N-1,2)) and
       F(25*(3*N**4-18*N**2+31),D3(N))==exact_factor(N,3,1,F(0)) and
       F(200*(6*N**4-27*N**3+42*N**2-30*N+11),D3(N))==exact_factor(N,3,1,F(N-1,2)) for N in range(5,40))
out["cubic closed forms exact for N=5..39"]=ok
# Monte Carlo efficiency of the change-point estimator (Gaussian noise 0.3 mm)
rng=np.random.default_rng(20240101); sig=0.3e-3; est=[]; naive=[]
for _ in range(1500):
    y=x0+sig*rng.standard_normal(48)
    S=[prof(z)[0] for z in np.linspace(0.046,0.058,49)]; zz=np.linspace(0.046,0.058,49)[int(np.argmin(S))]
    m=minimize_scalar(lambda z:prof(z)[0],bounds=(zz-3e-4,zz+3e-4),method='bounded',options=dict(xatol=1e-9)); est.append(prof(m.x)[1][1])
    naive.append(savgol_coeffs(15,2,deriv=1,use='dot')@y[25-7:25+8]*fps)
u=t-tr; p=u<0; J=np.c_[np.ones_like(u),u,np.where(p,u**2/2,0),np.where(p,u**3/6,0),np.where(p,-((a0+jk*tr)*u+jk*u*u/2),0)]
out["change_point_monte_carlo"]={"CRLB sd v_r (t_r unknown)":float(np.sqrt(np.linalg.inv(J.T@J)[1,1])*sig),"MC mean error":float(np.mean(est)-vr),"MC sd":float(np.std(est)),
  "naive SG15 mean error":float(np.mean(naive)-vr),"naive SG15 sd":float(np.std(naive)),"seed":20240101,"runs":1500}
print(json.dumps(out,indent=1))
