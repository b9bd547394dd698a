"""Prints, as one JSON document, unpiloted flights of rockets from the cradle to the ground: test/published/flight-path.json.

Shares no code with the product. scipy's solve_ivp (DOP853, rtol 1e-12) with events: leaving the cradle, the top, the ground; stopped
at every bend of a thrust curve. m v' = m g - rho/2 CdA |w| w + F n in three dimensions, w the velocity through the air, n = w/|w|, or
the direction of the cradle where the nose is held. Points of the thrust curve are joined by straight lines; the mass falls with the
impulse.
"""
import json

import numpy as np
from scipy.integrate import cumulative_trapezoid, solve_ivp

G = 9.80665
CURVE = ([0, .03, .12, .20, .28, .40, .80, 1.40, 1.75, 1.85], [0, 4., 9., 14., 9., 5.5, 4.8, 4.6, 4.4, 0.])
SHORT = ([0, .02, .30, .36], [0, 22., 18., 0.])


def flight(name, **change):
    c = dict(m=0.6, deg=20.0, rail=1.0, friction=0.0, booster=0.0, CdA=0.006, rho=1.225, head=0.0, cross=0.0, height=1.0, nose="air",
             motors=[dict(curve="CURVE", mp=0.0108, scale=1.0, delay=0.0, eject=None)] * 2) | change
    th = np.radians(c["deg"])
    motors = []
    for one in c["motors"]:
        t, f = (np.array(x, float) for x in globals()[one["curve"]])
        motors.append((one, t, f, np.r_[0, cumulative_trapezoid(f, t)]))
    ends = [one["delay"] + t[-1] + one["eject"] for one, t, _, _ in motors if one["eject"] is not None]
    parts = min(ends) if ends and c["booster"] > 0 else np.inf
    empty = c["m"] - c["booster"] - sum(one["mp"] for one, *_ in motors)

    def thrust(time):
        if time >= parts:
            return 0.0
        return sum(one["scale"] * np.interp(time - one["delay"], t, f, left=0, right=0) for one, t, f, _ in motors)

    def mass(time):
        if time >= parts:
            return empty
        gone = 0.0
        for one, t, f, imp in motors:
            at = min(max(time - one["delay"], 0), t[-1])
            k = min(np.searchsorted(t, at, side="right") - 1, len(t) - 2)
            dt = at - t[k]
            slope = (f[k + 1] - f[k]) / (t[k + 1] - t[k])
            gone += one["mp"] * (imp[k] + f[k] * dt + slope * dt * dt / 2) / imp[-1]
        return c["m"] - gone

    def on_rail(time, y):
        air = y[1] + c["head"] * np.cos(th)
        force = thrust(time) - mass(time) * G * np.sin(th) - 0.5 * c["rho"] * c["CdA"] * air * abs(air) - c["friction"]
        still = y[1] <= 0 and force <= 0
        return [0.0 if still else y[1], 0.0 if still else force / mass(time)]

    def free(time, y):
        w = np.array([y[3] + c["head"], y[4], y[5] - c["cross"]])
        size = np.linalg.norm(w)
        n = w / size if c["nose"] == "air" else np.array([np.cos(th), np.sin(th), 0.0])
        a = (thrust(time) * n - 0.5 * c["rho"] * c["CdA"] * size * w) / mass(time) - np.array([0, G, 0])
        return np.r_[y[3:], a]

    bends = sorted({one["delay"] + x for one, t, *_ in motors for x in t} | ({parts} if parts < np.inf else set()) | {60.0})
    leave, top, ground = (lambda _, y: y[0] - c["rail"]), (lambda _, y: y[4]), (lambda _, y: y[1] + c["height"])
    leave.terminal, leave.direction, top.direction, ground.terminal, ground.direction = True, 1, -1, True, -1
    t, y, rail, best = 0.0, np.zeros(2), True, (0.0, 0.0)
    while True:
        stop = next(b for b in bends if b > t + 1e-13)
        if rail:
            s = solve_ivp(on_rail, [t, stop], y, "DOP853", rtol=1e-12, atol=1e-14, events=leave, max_step=0.004)
            t, y = s.t[-1], s.y[:, -1]
            if len(s.t_events[0]):
                left = dict(t=t, v=y[1])
                rail, y = False, np.array([0, 0, 0, y[1] * np.cos(th), y[1] * np.sin(th), 0.0])
            continue
        s = solve_ivp(free, [t, stop], y, "DOP853", rtol=1e-12, atol=1e-13, events=[top, ground], max_step=0.05)
        for time, state in zip(s.t_events[0], s.y_events[0]):
            best = max(best, (float(state[1]), float(time)))
        t, y = s.t[-1], s.y[:, -1]
        if len(s.t_events[1]):
            break
    return dict(name=name, inputs=c, leave=left, apogee=best[0], apogeeS=best[1], range=y[0], right=y[2], downS=t, impact=float(np.linalg.norm(y[3:])))


MOTOR = dict(curve="CURVE", mp=0.0108, scale=1.0, delay=0.0, eject=None)
QUICK = dict(curve="SHORT", mp=0.006, scale=1.0, delay=0.0, eject=None)
out = dict(
    curves=dict(CURVE=CURVE, SHORT=SHORT),
    flights=[
        flight("a pair at 50 degrees in still air", deg=50.0),
        flight("a steep pair in a headwind", deg=80.0, head=4.0, m=0.45),
        flight("a pair across the wind, from 12 m up", deg=45.0, cross=5.5, head=-1.5, height=12.0),
        flight("late motor, friction, thin air", deg=60.0, rho=0.95, friction=0.8, motors=[MOTOR, {**MOTOR, "delay": 0.25, "scale": 0.93}]),
        flight("a short burn whose booster parts on the way up", deg=65.0, m=0.5, booster=0.12, head=2.0, cross=-3.0, motors=[{**QUICK, "eject": 0.5}, {**QUICK, "eject": 0.6}]),
        flight("the nose held as on the cradle", deg=50.0, head=3.0, cross=2.0, nose="held"),
        flight("straight up, no air to speak of", deg=90.0, m=0.45, CdA=0.0, height=0.0),
    ],
)
print(json.dumps(out, indent=1))
