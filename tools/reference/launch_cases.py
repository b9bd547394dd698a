"""Prints, as one JSON document, reference launches of the tests: test/published/launch-cases.

Shares no code with the product. Twenty-five rams, of which ten lose contact with the airframe before the end of the stroke; six rocket
boosts; five elastic lines. scipy's solve_ivp, DOP853 at rtol 1e-11. Contact is an event: an airframe of mass ma resting against the ram
is pushed with N = ma (a + g sin th) + D, D the drag of the air on it; where N falls through 0 it leaves, and the ram goes on alone.
A case with "latch" holds it to the end of the stroke. Friction falls from Fs to Fc as a Gaussian of
speed of width vs (Armstrong-Helouvry, Dupont, Canudas de Wit, Automatica 30:1083 (1994)); seals take a share of the gauge pressure's force.
A feed is a supply of constant pressure behind a conductance of ISO 6358-1 with b = 0.3 that lets nothing back.
"opens" holds points [share of the first valve's opening time, share of its area], straight lines between. Walls that keep a chamber's gas at
its first temperature (n = 1) warm what comes in to it before it counts: then p V = m R T at that temperature, and nothing of where it came from.
Elastic forces: scipy's PchipInterpolator through the table.
"""
import json

import numpy as np
from scipy.integrate import solve_ivp
from scipy.interpolate import PchipInterpolator

GAMMA, R, RHO0, T0, G = 1.4, 287.05, 1.185, 293.15, 9.80665
RTOL = 1e-11


def omega(r, b):
    """Flow over choked flow of ISO 6358; linear within 1e-8 of equal pressures."""
    z = (1 - r) / (1 - b)
    if z >= 1:
        return 1.0
    return np.sqrt(z * (2 - z)) if z > 1e-4 else z * np.sqrt((2 - z) / np.sqrt(z * z + 1e-16))


def flow(c, b, pa, ta, pb, tb):
    """kg/s from a to b, and the temperature it comes with."""
    if pa >= pb:
        return c * RHO0 * pa * np.sqrt(T0 / ta) * omega(pb / pa, b), ta
    return -c * RHO0 * pb * np.sqrt(T0 / tb) * omega(pa / pb, b), tb


RAM = dict(
    Vt=3e-3, pg=4e5, pa=101325.0, Ta=293.15, D=0.041, L=0.6, Vd=4e-5, valves=[[2e-7, 0.3, 0.015, 0.0]], ma=1.2, mr=0.4,
    deg=10.0, Fs=20.0, Fc=20.0, B=8.0, rod=None, n=1.4, CdA=0.0, wind=0.0, latch=False, Tt=None, vs=0.0, seal=0.0, feed=None,
    opens=None,
)


def ram(**change):
    c = {**RAM, **change}
    area, th = np.pi / 4 * c["D"] ** 2, np.radians(c["deg"])
    gs, pa, ta, n = G * np.sin(th), c["pa"], c["Ta"], c["n"]
    rod = c["rod"]
    ring = area - np.pi / 4 * rod["d"] ** 2 if rod else 0.0
    rho = pa / (R * ta)
    tt = ta if c["Tt"] is None else c["Tt"]
    p0 = pa + c["pg"]

    def temp(p, v, m, of):
        return of if n == 1 else p * v / (m * R)

    def rhs(t, y, moving, alone):
        mt, pt, mc, pc, mrod, pr, x, v, w = y
        vc = c["Vd"] + area * x
        v = v if moving else 0.0
        t_t, t_c = temp(pt, c["Vt"], mt, tt), temp(pc, vc, mc, ta)
        q = up = 0.0
        for i, (cond, b, opens, delay) in enumerate(c["valves"]):
            share = min(1.0, max(0.0, (t - delay) / opens)) if opens > 0 else float(t >= delay)
            if c["opens"] and i == 0:
                share = np.interp((t - delay) / opens, *np.transpose(c["opens"]))
            if share > 0:
                one, up = flow(share * cond, b, pt, t_t, pc, t_c)
                q += one
        fed = max(0.0, flow(c["feed"]["C"], 0.3, pa + c["feed"]["pg"], ta, pt, t_t)[0]) if c["feed"] else 0.0
        out = [fed - q, n * R * (ta * fed - up * q) / c["Vt"], q, (n * R * up * q - n * pc * area * v) / vc, 0.0, 0.0, v, 0.0, pc * area * v]
        if n == 1:  # d/dt (m R T = p V) at a constant T of each chamber
            out[1], out[3] = R * tt * out[0] / c["Vt"], (R * ta * q - pc * area * v) / vc
        if rod:
            vr = rod["V0"] + ring * (c["L"] - x)
            t_r = temp(pr, vr, mrod, ta)
            qr, up_r = flow(rod["C"], rod["b"], pr, t_r, pa, ta)
            out[4], out[5] = -qr, (n * pr * ring * v - n * R * up_r * qr) / vr
        if moving:
            m = c["mr"] if alone else c["mr"] + c["ma"]
            out[7] = (gas(y) - friction(v) - (0.0 if alone else drag(v))) / m - gs
        return out

    def gas(y):
        return (y[3] - pa) * area - c["seal"] * max(0.0, y[3] - pa) * area - ((y[5] - pa) * ring if rod else 0.0)

    def friction(v):
        fading = (need - c["Fc"]) * np.exp(-((v / c["vs"]) ** 2)) if c["vs"] > 0 else 0.0
        return c["Fc"] + fading + c["B"] * v

    def drag(v):
        air = v + c["wind"] * np.cos(th)
        return 0.5 * rho * c["CdA"] * air * abs(air)

    def event(f, direction):
        f.terminal, f.direction = True, direction
        return f

    need = max(c["Fs"], c["Fc"])
    total = c["mr"] + c["ma"]
    start = event(lambda t, y: gas(y) - total * gs - drag(0) - need, 1)
    leave = event(lambda t, y: y[6] - c["L"], 1)
    stop = event(lambda t, y: y[7] + 1e-9, -1)
    part = event(lambda t, y: (gas(y) - friction(y[7]) - drag(y[7])) / total + drag(y[7]) / c["ma"], -1)
    edges = {e for _, _, o, d in c["valves"] for e in (d, d + o) if e > 0}
    _, _, opens, delay = c["valves"][0]
    edges = sorted(edges | {delay + x * opens for x, _ in c["opens"] or [] if delay + x * opens > 0})
    vr0 = (rod["V0"] + ring * c["L"]) if rod else 1.0
    y = np.array([p0 * c["Vt"] / (R * tt), p0, pa * c["Vd"] / (R * ta), pa, pa * vr0 / (R * ta), pa, 0, 0, 0])
    atol = np.array([1e-15, 1e-7, 1e-17, 1e-7, 1e-17, 1e-7, 1e-14, 1e-12, 1e-9])
    t, moving, alone, out, peak = 0.0, bool(gas(y) - total * gs - drag(0) >= need), False, {}, -np.inf
    while True:
        events = ([leave, stop] + ([] if alone or c["latch"] else [part])) if moving else [start]
        end = next((e for e in edges if e > t + 1e-13), t + 2.0)
        s = solve_ivp(
            rhs, [t, end], y, "DOP853", args=(moving, alone), rtol=RTOL, atol=atol, max_step=5e-4, dense_output=True,
            events=[event(lambda t, y, *_, f=f: f(t, y), f.direction) for f in events],
        )
        if moving and not alone:
            for at in np.linspace(s.t[0], s.t[-1], 20001):
                peak = max(peak, rhs(at, s.sol(at), moving, alone)[7])
        t, y = float(s.t[-1]), s.y[:, -1].copy()
        hit = [f for f, found in zip(events, s.t_events) if len(found)]
        here = dict(t=t, x=float(y[6]), v=float(y[7]), pc=float(y[3]), pr=float(y[5]), pt=float(y[1]))
        if start in hit:
            moving, out["startS"] = True, t
        elif part in hit:
            alone, out["release"] = True, here
        elif leave in hit or stop in hit:
            if stop in hit and not alone:
                return dict(inputs=c, refused="stalls", positionM=here["x"])
            out["end"] = {**here, "v": here["v"] if leave in hit else 0.0}
            out.setdefault("release", here)
            return dict(inputs=c, early=alone, peakAcceleration=float(peak), **out)


ROD = dict(d=0.016, C=0.8e-7, b=0.35, V0=3e-5)
RAMS = {
    "baseline": dict(),
    "closed rod side": dict(rod=ROD, latch=True),
    "closed rod side, resting": dict(rod=ROD),
    "small vent": dict(rod={**ROD, "C": 3e-8}),
    "small vent, light airframe": dict(rod={**ROD, "C": 1e-8}, ma=0.8, mr=0.2),
    "small tank": dict(Vt=3e-4),
    "low pressure": dict(Vt=4e-4, pg=1.5e5, mr=0.5, ma=0.9, B=12.0, Fs=8.0, Fc=5.0, deg=4.0),
    "small tank, latched": dict(Vt=3e-4, latch=True),
    "steep, slow valve": dict(Vt=1e-3, pg=6e5, D=0.032, L=0.45, Vd=2.5e-5, valves=[[0.6e-7, 0.25, 0.03, 0]], ma=0.6, mr=0.3, deg=45.0, Fs=40.0, Fc=25.0, B=5.0),
    "straight up": dict(L=1.2, Vd=6e-5, valves=[[3e-7, 0.3, 0.015, 0]], ma=0.2, mr=0.05, deg=90.0, Fs=10.0, Fc=10.0, B=2.0),
    "isothermal, two valves": dict(n=1, valves=[[1e-7, 0.3, 0.015, 0], [1.2e-7, 0.25, 0.01, 0.02]]),
    "straight up through the air": dict(L=1.2, Vd=6e-5, valves=[[3e-7, 0.3, 0.015, 0]], ma=0.2, mr=0.05, deg=90.0, Fs=10.0, Fc=10.0, B=2.0, CdA=0.004),
    "closed rod side, into the wind": dict(rod=ROD, CdA=0.03, wind=4.0),
    "a tank just filled": dict(Tt=310.0),
    "friction that fades with speed": dict(Fs=60.0, Fc=15.0, vs=0.8),
    "fading friction, seals, small tank": dict(Vt=3e-4, Fs=45.0, Fc=15.0, vs=1.5, seal=0.08),
    "fading friction, seals, rod side, steep": dict(rod=ROD, Fs=70.0, Fc=25.0, vs=0.3, seal=0.12, deg=50.0, CdA=0.02),
    "fed at the tank's own pressure": dict(Vt=5e-4, feed=dict(pg=4e5, C=1e-7)),
    "fed from above, choked at first": dict(Vt=4e-4, pg=1.5e5, feed=dict(pg=8e5, C=0.6e-7), Fs=60.0, Fc=15.0, vs=0.8),
    "fed from below, isothermal": dict(Vt=4e-4, n=1, feed=dict(pg=2.5e5, C=0.8e-7)),
    "isothermal, a cold tank": dict(n=1, Tt=265.0),
    "isothermal, a warm small tank, fed": dict(n=1, Tt=325.0, Vt=4e-4, feed=dict(pg=3e5, C=0.8e-7), rod=ROD),
    "opened by a curve": dict(valves=[[2e-7, 0.3, 0.04, 0.0]], opens=[[0, 0], [0.35, 0.04], [0.6, 0.55], [0.8, 0.5], [1, 1]]),
    "opened by a curve from a crack, small tank, two valves": dict(
        Vt=4e-4, valves=[[1.6e-7, 0.25, 0.06, 0.0], [0.5e-7, 0.3, 0.01, 0.02]], opens=[[0, 0.02], [0.5, 0.2], [0.7, 0.9], [1, 1]],
    ),
    "level, polytropic": dict(n=1.25, deg=0.0, Fs=30.0, Fc=12.0, Vt=2e-3),
}

CURVE = [[0, 0], [0.03, 4], [0.12, 9], [0.2, 14], [0.28, 9], [0.4, 5.5], [0.8, 4.8], [1.4, 4.6], [1.75, 4.4], [1.85, 0]]
# a motor that rises to its greatest thrust late, as end burners with a second grain do
LATE_PEAK = [[0, 0], [0.05, 8], [0.5, 7], [0.6, 12], [0.7, 30], [0.85, 28], [0.95, 0]]
MOTOR = dict(curve="C", scale=1.0, kg=0.0108, ahead=-0.2, above=-0.006, right=0.1, up=0.0, delay=0.0, lit=True)
ROCKET = dict(m=0.6, deg=20.0, rail=1.0, Fc=0.0, CdA=0.006, rho=1.225, wind=0.0, Iy=0.018, Iz=0.025, turns=False, motors=[{**MOTOR, "right": -0.1}, MOTOR])


def rocket(**change):
    c = {**ROCKET, **change}
    gs = G * np.sin(np.radians(c["deg"]))
    lit = [m for m in c["motors"] if m["lit"]]
    curves = {"C": np.array(CURVE), "P": np.array(LATE_PEAK)}

    def thrust(m, t):
        k = curves[m["curve"]]
        return m["scale"] * np.interp(t - m["delay"], k[:, 0], k[:, 1], left=0, right=0)

    def burnt(m, t):
        k = curves[m["curve"]]
        at = np.clip(t - m["delay"], 0, k[-1, 0])
        cum = np.r_[0, np.cumsum(np.diff(k[:, 0]) * (k[1:, 1] + k[:-1, 1]) / 2)]
        i = min(np.searchsorted(k[:, 0], at, side="right") - 1, len(k) - 2)
        h = at - k[i, 0]
        slope = (k[i + 1, 1] - k[i, 1]) / (k[i + 1, 0] - k[i, 0])
        return m["kg"] * (cum[i] + k[i, 1] * h + slope * h * h / 2) / cum[-1]

    def acc(t, v, on):
        m = c["m"] - sum(burnt(one, t) for one in lit)
        push = sum(thrust(one, t) * np.cos(one["up"]) for one in lit)
        air = v + c["wind"] * np.cos(np.radians(c["deg"]))
        return (push - 0.5 * c["rho"] * c["CdA"] * air * abs(air) - (c["Fc"] if on else 0)) / m - gs

    def rhs(t, y, phase):
        if phase == "held":
            return np.zeros(6)
        free = phase == "free" or c["turns"]
        pitch = sum(thrust(o, t) * (o["ahead"] * np.sin(o["up"]) - o["above"] * np.cos(o["up"])) for o in lit) / c["Iy"]
        yaw = sum(-thrust(o, t) * np.cos(o["up"]) * o["right"] for o in lit) / c["Iz"]
        return [y[1], acc(t, y[1], phase == "up"), *((y[3], pitch, y[5], yaw) if free else (0, 0, 0, 0))]

    end = max(o["delay"] + curves[o["curve"]][-1, 0] for o in lit)
    edges = sorted({float(o["delay"] + x) for o in lit for x in curves[o["curve"]][:, 0]} | {end + 5})
    t, y, phase, out = 0.0, np.zeros(6), "held", {}
    cradle = boost = -np.inf
    most = np.zeros(4)
    while True:
        target = next((e for e in edges if e > t + 1e-13), None)
        if target is None or (phase == "free" and t >= end - 1e-12):
            break
        def lift(t, y, *_):
            return acc(t, 0.0, True)
        def clear(t, y, *_):
            return y[0] - c["rail"]
        lift.terminal = clear.terminal = True
        lift.direction = clear.direction = 1
        events = {"held": [lift], "up": [clear], "free": []}[phase]
        if phase == "held" and acc(t + 1e-12, 0.0, True) > 0:
            phase, out["liftOffS"] = "up", t
            continue
        s = solve_ivp(rhs, [t, target], y, "DOP853", args=(phase,), rtol=RTOL, atol=1e-13, max_step=5e-3, events=events or None, dense_output=True)
        if phase != "held":
            for at in np.linspace(s.t[0], s.t[-1], 4001):
                v = s.sol(at)
                a = acc(at, v[1], phase == "up")
                boost = max(boost, a)
                cradle = max(cradle, a) if phase == "up" else cradle
                most = np.maximum(most, np.abs(v[2:]))
        t, y = float(s.t[-1]), s.y[:, -1].copy()
        if events and len(s.t_events[0]):
            if phase == "held":
                phase, out["liftOffS"] = "up", t
            else:
                phase = "free"
                out["leaving"] = dict(t=t, v=float(y[1]), pitchRate=float(y[3]), yawRate=float(y[5]))
    out["burnout"] = dict(t=t, x=float(y[0]), v=float(y[1]), pitch=float(y[2]), yaw=float(y[4]), pitchRate=float(y[3]), yawRate=float(y[5]))
    names = ["pitch", "pitchRate", "yaw", "yawRate"]
    return dict(inputs=c, **out, cradlePeak=float(cradle), boostPeak=float(boost), greatest=dict(zip(names, map(float, most))))


LEFT, RIGHT = {**MOTOR, "right": -0.1}, MOTOR
ROCKETS = {
    "two alike": dict(),
    "right one weak, friction and wind": dict(motors=[LEFT, {**RIGHT, "scale": 0.9}], Fc=0.6, wind=1.5),
    "right one late": dict(motors=[LEFT, {**RIGHT, "delay": 0.15}]),
    "right one late, free to turn": dict(motors=[LEFT, {**RIGHT, "delay": 0.06}], turns=True, m=0.5),
    "right one dead": dict(motors=[LEFT, {**RIGHT, "lit": False}], m=0.45, rail=0.6),
    "thrust that peaks after the cradle": dict(motors=[{**LEFT, "curve": "P"}, {**RIGHT, "curve": "P"}], rail=0.5),
}

LOADING = [[0, 0], [0.5, 14], [1, 22], [2, 31], [3, 37], [4.5, 47], [6, 66]]
UNLOADING = [[0, 0], [0.5, 9], [1, 16], [2, 24], [3, 30], [4.5, 41], [6, 65]]
ELASTIC = dict(draw=4.0, scale=1.0, lines=1, line=0.3, carriage=0.15, m=0.9, Fc=2.0, deg=15.0, unloading=UNLOADING, CdA=0.0, pa=101325.0, Ta=293.15, wind=0.0)


def elastic(**change):
    c = {**ELASTIC, **change}
    table = np.array(c["unloading"])
    rho = c["pa"] / (R * c["Ta"])
    force = PchipInterpolator(table[:, 0], table[:, 1])
    sin = np.sin(np.radians(c["deg"]))
    mass = c["m"] + c["carriage"] + c["lines"] * c["line"] / 3
    against = (c["m"] + c["carriage"] + c["lines"] * c["line"] / 2) * G * sin + c["Fc"]

    def rhs(t, y):
        air = y[1] + c["wind"] * np.cos(np.radians(c["deg"]))
        pull = c["lines"] * c["scale"] * float(force(min(table[-1, 0], max(0.0, c["draw"] - y[0]))))
        return [y[1], (pull - against - 0.5 * rho * c["CdA"] * air * abs(air)) / mass]

    def through(t, y):
        return y[0] - c["draw"]

    through.terminal = True
    s = solve_ivp(rhs, [0, 10], [0, 0], "DOP853", rtol=RTOL, atol=1e-13, max_step=1e-3, events=through)
    return dict(inputs=c, loading=LOADING, pushS=float(s.t[-1]), v=float(s.y[1, -1]))


ELASTICS = {
    "four metres": dict(),
    "a point on the draw": dict(draw=3.0),
    "two lines, steep": dict(lines=2, draw=5.2, deg=50.0, m=1.4),
    "through the air, into the wind": dict(CdA=0.03, wind=3.0, pa=98000.0, Ta=285.0),
    "half a foot": dict(draw=15.5 * 0.3048, Fc=0.5, deg=0.0),
}

if __name__ == "__main__":
    print(json.dumps(dict(
        rams={k: ram(**v) for k, v in RAMS.items()},
        rockets={k: rocket(**v) for k, v in ROCKETS.items()},
        elastic={k: elastic(**v) for k, v in ELASTICS.items()},
    ), indent=1))
