"""Prints, as one JSON document, reference figures of the tests. Stored energy and pipe ratings: test/published/blow-down.

Seeded where chance takes part. Shares no code with the product.
PVC pressure rating formula vs table, derating, stored energy."""
import json, numpy as np
out={}; g=1.4; pa=101325.0
# ISO/ASTM D1785: P = 2 S t/(D-t), S=2000 psi (PVC1120, 73F); D (in), min wall t (in), published rating psi
T={"1/2":(0.840,0.109,600),"3/4":(1.050,0.113,480),"1":(1.315,0.133,450),"1-1/4":(1.660,0.140,370),"1-1/2":(1.900,0.145,330),"2":(2.375,0.154,280),"2-1/2":(2.875,0.203,300),"3":(3.500,0.216,260),"4":(4.500,0.237,220)}
out["sch40"]={k:{"D in":D,"t in":t,"P formula psi":2*2000*t/(D-t),"published psi":P,"published bar":P*0.0689476,"rounded to 10":round(2*2000*t/(D-t)/10)*10} for k,(D,t,P) in T.items()}
out["derating PVC"]={"73F":1.0,"80":.88,"90":.75,"100":.62,"110":.51,"120":.40,"130":.31,"140":.22}
out["example 2 in sch40 at 110F psi"]=280*.51
def E(p,V,pa=pa):
    return {"isentropic (PCC-2 form) J":p*V/(g-1)*(1-(pa/p)**((g-1)/g)),"Brode J":(p-pa)*V/(g-1),"isothermal p V ln(p/pa) J":p*V*np.log(p/pa),"isothermal exergy pV[ln(p/pa)-1+pa/p] J":p*V*(np.log(p/pa)-1+pa/p)}
out["stored energy"]={}
for n,p,V in (("3.0 L, 4.0 bar g",4e5+pa,3e-3),("3.0 L, 8.0 bar g",8e5+pa,3e-3),("10 L, 6.0 bar g",6e5+pa,1e-2),("1 m3, 10 bar g",1e6+pa,1.0)):
    e=E(p,V); e["TNT g (4.26692 MJ/kg)"]=e["isentropic (PCC-2 form) J"]/4266920*1e3; out["stored energy"][n]=e
out["PCC-2 eq II-2 as printed (2.5, .286, Pa=101000) 1 m3 10 bar g"]=2.5*(1e6+101000)*1*(1-(101000/(1e6+101000))**.286)
out["speed a 20 g fragment would have with 5 % of 3 L/4 bar energy m/s"]=float(np.sqrt(2*.05*out["stored energy"]["3.0 L, 4.0 bar g"]["isentropic (PCC-2 form) J"]/.02))
out["launch kinetic energy .5*1.6*14.12^2 J"]=.5*1.6*14.12**2; out["sabot .5*.25*40.5^2 J"]=.5*.25*40.46**2
out["hoop stress 41 mm bore 2 mm wall 4 bar g MPa (thin)"]=4e5*.041/(2*.002)/1e6
print(json.dumps(out,indent=1))
