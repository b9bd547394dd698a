"""Prints, as one JSON document, reference figures of the tests. JCGM examples, t intervals, NIST StRD: test/published/uncertainty, student-t, repeatability, effective-freedom, nist-strd.

Seeded where chance takes part. Shares no code with the product.
GUM, Monte Carlo, t intervals, NIST StRD nonlinear regression."""
import json, numpy as np
from scipy import stats
from scipy.optimize import least_squares
out={}
out["t95 two-sided, dof"]={n:float(stats.t.ppf(.975,n)) for n in (1,2,3,4,5,7,9,19,29,100)}
out["t 95.45 % (k=2 equivalent), dof"]={n:float(stats.t.ppf(.5+.9545/2,n)) for n in (1,2,3,4,5,10,20,50)}
x=np.array([14.02,14.25,13.88,14.31,14.11]); n=len(x); m,s=x.mean(),x.std(ddof=1); t=stats.t.ppf(.975,n-1)
out["repeatability v=[14.02,14.25,13.88,14.31,14.11]"]={"mean":m,"s":s,"s/sqrt n":s/np.sqrt(n),"95% CI of mean":list(map(float,stats.t.interval(.95,n-1,loc=m,scale=s/np.sqrt(n)))),"95% prediction of next shot +-":t*s*np.sqrt(1+1/n),
  "95% CI of sigma (chi2)":[float(s*np.sqrt((n-1)/stats.chi2.ppf(q,n-1))) for q in (.975,.025)],"c4-corrected s":float(s/(np.sqrt(2/(n-1))*np.exp(__import__('scipy.special',fromlist=['gammaln']).gammaln(n/2)-__import__('scipy.special',fromlist=['gammaln']).gammaln((n-1)/2))))}
# GUM propagation for v = b * f / s   (b px/frame, f 1/s, s px/m)
b,ub,f,uf,sc,us=35.30,.05,240.,.3,600.,1.5; v=b*f/sc; uc=v*np.sqrt((ub/b)**2+(uf/f)**2+(us/sc)**2); out["GUM v=b f/s"]={"v":v,"u":uc,"U(k=2)":2*uc,"share %":[100*(q*v/uc)**2 for q in (ub/b,uf/f,us/sc)]}
# Welch-Satterthwaite
c=[(0.02,9),(0.0176,np.inf),(0.0353,4)]; u=np.sqrt(sum(a*a for a,_ in c)); nu=u**4/sum(a**4/d for a,d in c); out["Welch-Satterthwaite u=.02(9),.0176(inf),.0353(4)"]={"u_c":u,"nu_eff":nu,"k95":float(stats.t.ppf(.975,int(nu)))}
# JCGM 101 clause 9.2 additive model, 4 rectangular inputs of unit variance: exact 95 % interval
h=np.sqrt(3.); out["JCGM 101 9.2.3: exact half-width 2 sqrt3 (2-(3/5)^(1/4))"]=float(2*h*(2-(3/5)**.25)); 
rng=np.random.default_rng(1); y=rng.uniform(-h,h,(1000000,4)).sum(1); out["MC 1e6 2.5/97.5 % quantiles"]=np.quantile(y,[.025,.975]).tolist(); out["GUM gaussian half width"]=float(2*stats.norm.ppf(.975))
# MC of a skewed result: v0 from apogee with vt: h=120.0+-2 m, T=303+-5 K (reading 120 m ISA), vt=80+-8
g=9.80665; N=1000000; H=120.0*rng.normal(303.15,5,N)/288.15+rng.normal(0,2,N); vt=rng.normal(80,8,N); v0=vt*np.sqrt(np.expm1(2*g*H/vt**2)); out["MC v0: reading 120 m, pad 303+-5 K, u_h 2 m, vt 80+-8"]={"mean":float(v0.mean()),"sd":float(v0.std()),"95%":np.quantile(v0,[.025,.975]).tolist(),"linear GUM":None}
Hm=120.0*303.15/288.15; f0=lambda H,vt: vt*np.sqrt(np.expm1(2*g*H/vt**2)); dH=(f0(Hm+.01,80)-f0(Hm-.01,80))/.02; dv=(f0(Hm,80.01)-f0(Hm,79.99))/.02; uH=np.hypot(2,120.0*5/288.15); out["MC v0: reading 120 m, pad 303+-5 K, u_h 2 m, vt 80+-8"]["linear GUM"]=[float(f0(Hm,80)),float(np.hypot(dH*uH,dv*8))]
# ---- NIST StRD (public domain) -------------------------------------------------
P={}
P["Misra1a"]=dict(x=[77.6,114.9,141.1,190.8,239.9,289.0,332.8,378.4,434.8,477.3,536.8,593.1,689.1,760.0],y=[10.07,14.73,17.94,23.93,29.61,35.18,40.02,44.82,50.76,55.05,61.01,66.40,75.47,81.78],
  f=lambda b,x:b[0]*(1-np.exp(-b[1]*x)),s=[[500,1e-4],[250,5e-4]],b=[2.3894212918E+02,5.5015643181E-04],sd=[2.7070075241E+00,7.2668688436E-06],rss=1.2455138894E-01)
P["Eckerle4"]=dict(x=[400,405,410,415,420,425,430,435,436.5,438,439.5,441,442.5,444,445.5,447,448.5,450,451.5,453,454.5,456,457.5,459,460.5,462,463.5,465,470,475,480,485,490,495,500],
  y=[.0001575,.0001699,.0002350,.0003102,.0004917,.0008710,.0017418,.0046400,.0065895,.0097302,.0149002,.0237310,.0401683,.0712559,.1264458,.2073413,.2902366,.3445623,.3698049,.3668534,.3106727,.2078154,.1164354,.0616764,.0337200,.0194023,.0117831,.0074357,.0022732,.0008800,.0004579,.0002345,.0001586,.0001143,.0000710],
  f=lambda b,x:b[0]/b[1]*np.exp(-.5*((x-b[2])/b[1])**2),s=[[1,10,500],[1.5,5,450]],b=[1.5543827178E+00,4.0888321754E+00,4.5154121844E+02],sd=[1.5408051163E-02,4.6803020753E-02,4.6800518816E-02],rss=1.4635887487E-03)
P["MGH09"]=dict(x=[4,2,1,.5,.25,.167,.125,.1,.0833,.0714,.0625],y=[.1957,.1947,.1735,.16,.0844,.0627,.0456,.0342,.0323,.0235,.0246],f=lambda b,x:b[0]*(x*x+x*b[1])/(x*x+x*b[2]+b[3]),s=[[25,39,41.5,39],[.25,.39,.415,.39]],
  b=[1.9280693458E-01,1.9128232873E-01,1.2305650693E-01,1.3606233068E-01],sd=[1.1435312227E-02,1.9633220911E-01,8.0842031232E-02,9.0025542308E-02],rss=3.0750560385E-04)
P["MGH10"]=dict(x=list(np.arange(50,126,5.)),y=[34780,28610,23650,19630,16370,13720,11540,9744,8261,7030,6005,5147,4427,3820,3307,2872],f=lambda b,x:b[0]*np.exp(b[1]/(x+b[2])),s=[[2,400000,25000],[.02,4000,250]],
  b=[5.6096364710E-03,6.1813463463E+03,3.4522363462E+02],sd=[1.5687892471E-04,2.3309021107E+01,7.8486103508E-01],rss=8.7945855171E+01)
P["Thurber"]=dict(y=[80.574,84.248,87.264,87.195,89.076,89.608,89.868,90.101,92.405,95.854,100.696,101.060,401.672,390.724,567.534,635.316,733.054,759.087,894.206,990.785,1090.109,1080.914,1122.643,1178.351,1260.531,1273.514,1288.339,1327.543,1353.863,1414.509,1425.208,1421.384,1442.962,1464.350,1468.705,1447.894,1457.628],
  x=[-3.067,-2.981,-2.921,-2.912,-2.840,-2.797,-2.702,-2.699,-2.633,-2.481,-2.363,-2.322,-1.501,-1.460,-1.274,-1.212,-1.100,-1.046,-.915,-.714,-.566,-.545,-.400,-.309,-.109,-.103,.010,.119,.377,.790,.963,1.006,1.115,1.572,1.841,2.047,2.200],
  f=lambda b,x:(b[0]+b[1]*x+b[2]*x**2+b[3]*x**3)/(1+b[4]*x+b[5]*x**2+b[6]*x**3),s=[[1000,1000,400,40,.7,.3,.03],[1300,1500,500,75,1,.4,.05]],
  b=[1.2881396800E+03,1.4910792535E+03,5.8323836877E+02,7.5416644291E+01,9.6629502864E-01,3.9797285797E-01,4.9727297349E-02],sd=[4.6647963344E+00,3.9571156086E+01,2.8698696102E+01,5.5675370270E+00,3.1333340687E-02,1.4984928198E-02,6.5842344623E-03],rss=5.6427082397E+03)
res={}
lre=lambda a,c:float(min(11,min(-np.log10(max(abs(p-q)/abs(q),1e-12)) for p,q in zip(a,c))))
for k,p in P.items():
    x=np.array(p['x'],float); y=np.array(p['y'],float); d={"certified b":p['b'],"certified sd":p['sd'],"certified rss":p['rss'],"starts":p['s'],"n":len(x),"x":x.tolist(),"y":y.tolist()}
    # certified rss reproduced?
    d["rss at certified b"]=float(((p['f'](np.array(p['b']),x)-y)**2).sum())
    for i,s0 in enumerate(p['s']):
        with np.errstate(all='ignore'):
            try:
                r=least_squares(lambda b:p['f'](b,x)-y,s0,method='lm',x_scale=np.abs(s0),xtol=1e-15,ftol=1e-15,gtol=1e-15,max_nfev=20000)
                J=np.array([np.imag(p['f'](r.x+1j*h*np.eye(len(s0))[q],x))/h for q,h in enumerate(1e-20*np.abs(r.x))]).T  # complex-step Jacobian
                sc_=np.linalg.norm(J,axis=0); Rq=np.linalg.qr(J/sc_)[1]; Ri=np.linalg.inv(Rq); C=(Ri@Ri.T)/np.outer(sc_,sc_)*(r.fun@r.fun)/(len(x)-len(s0)); d[f"scipy lm start {i+1}: min LRE(b), LRE(sd), rss, nfev"]=[lre(r.x,p['b']),lre(np.sqrt(np.diag(C)),p['sd']),float(r.fun@r.fun),int(r.nfev)]
            except Exception as e: d[f"scipy lm start {i+1}"]=str(e)
    res[k]=d
out["NIST"]=res
print(json.dumps(out,indent=1))
