"""Prints, as one JSON document, logs carried on board with what is found in them: test/published/on-board.json.

Shares no code with the product. Flights by scipy's solve_ivp (DOP853, rtol 1e-11): m v' = m g - rho/2 CdA |w| w. Heights are read
at even times with normal errors, some with errors that last; speed, drag area and time of release are found by scipy's curve_fit
(its own derivatives), whose standard deviations go with the readings' scatter. Accelerations: a push that rises, holds and stops or
fades, then the drag alone; the speed is that of the push itself, the drag area found by curve_fit.
"""
import json

import numpy as np
from scipy.integrate import quad, solve_ivp
from scipy.optimize import curve_fit

G = 9.80665
rng = np.random.default_rng(20260611)


def flight(v, cda, c, t):
    """Height and airspeed at times t after release; before 0 along the line of release."""
    def rhs(_, y):
        w = np.array([y[2] + c["wind"], y[3]])
        a = -c["rho"] * cda / (2 * c["m"]) * np.hypot(*w) * w
        return [y[2], y[3], a[0], a[1] - G]

    up = np.radians(c["deg"])
    t = np.asarray(t, float)
    after = np.maximum(t, 0)
    s = solve_ivp(rhs, [0, max(after.max(), 1e-9)], [0, 0, v * np.cos(up), v * np.sin(up)], "DOP853", rtol=1e-11, atol=1e-12, dense_output=True)
    y = s.sol(after)
    return np.where(t > 0, y[1], v * np.sin(up) * t), np.hypot(y[2] + c["wind"], y[3])


def errors(n, sd, lasting):
    e = rng.standard_normal(n)
    for i in range(1, n):
        e[i] = lasting * e[i - 1] + np.sqrt(1 - lasting**2) * e[i]
    return sd * e


def heights(name, v, cda, lasting=0.0, sd=0.15, rate=20, **change):
    c = dict(m=0.6, rho=1.2041, wind=0.0, deg=90.0, rise=0.6, release=3.137, scale=1.0) | change
    t = np.round(np.arange(0, 3.1 + 1.2 * v * np.sin(np.radians(c["deg"])) / G, 1 / rate), 9)
    push = 2 * c["rise"] / (v * np.sin(np.radians(c["deg"])))
    since = t - c["release"]
    up, _ = flight(v, cda, c, since)
    inside = c["rise"] * np.clip((since + push) / push, 0, 1) ** 2
    true = np.where(since > 0, c["rise"] + up, inside)
    read = np.round(true / c["scale"] + 0.37 + errors(len(t), sd, lasting), 4)
    ground = read[t < c["release"] - push - 0.5]
    top = np.argmax(read)
    seen = int(np.argmax(read > np.median(ground) + max(0.5, 6 * ground.std())))
    use = slice(seen, top + 1)

    def model(at, speed, area, release):
        h, _ = flight(speed, area, c, at - release)
        return ground.mean() + (c["rise"] + h) / c["scale"]

    p, cov = curve_fit(model, t[use], read[use], [v * 0.97, cda * 1.2, c["release"] + 0.01], epsfcn=1e-8)
    return dict(
        name=name, of="height", inputs=c, true=dict(v=v, cda=cda), ground=float(ground.mean()), groundN=len(ground), from_=float(t[use][0]), to=float(t[use][-1]),
        fit=dict(v=p[0], cda=p[1], release=p[2], u=np.sqrt(np.diag(cov)).tolist()), lasting=lasting, time=t.tolist(), value=read.tolist(),
    )


def accelerations(name, shape, cda, sd=0.3, rate=400, **change):
    c = dict(m=0.6, rho=1.2041, wind=0.0, deg=25.0, release=1.5013, zero=0.8) | change
    length, most = shape["s"], shape["a"]
    gs = G * np.sin(np.radians(c["deg"]))

    def force(since):  # on the airframe over its mass, during the push
        x = 1 + since / length
        fall = 1.0 if shape["ends"] == "at once" else np.sqrt(np.clip(1 - x**2, 0, 1))
        return (most * np.clip(x / 0.15, 0, 1) + gs) * fall

    def acc(since):
        return float(force(since) - gs)

    v = quad(acc, -length, 0, points=[-0.85 * length], epsabs=1e-12, epsrel=1e-12, limit=400)[0]
    t = np.round(np.arange(0, 3.0, 1 / rate), 9)
    since = t - c["release"]
    _, w = flight(v, cda, c, since)
    f = np.where(since < -length, gs, np.where(since < 0, force(since), -c["rho"] * cda * w**2 / (2 * c["m"])))
    read = np.round(f + c["zero"] + errors(len(t), sd, 0.0), 4)
    rest = read[t < c["release"] - length - 0.05]
    use = (since > 1 / rate) & (since < 1.0)

    def model(at, area):
        _, air = flight(v, area, c, at - c["release"])
        return rest.mean() - gs - c["rho"] * area * air**2 / (2 * c["m"])

    p, cov = curve_fit(model, t[use], read[use], [cda * 1.2], epsfcn=1e-8)
    return dict(name=name, of="acceleration", inputs=c, true=dict(v=v, cda=cda), fit=dict(cda=p[0], u=np.sqrt(np.diag(cov)).tolist()), time=t.tolist(), value=read.tolist())


print(json.dumps([
    heights("straight up", 22.0, 0.012),
    heights("straight up, no drag to see", 9.0, 0.001, rate=50),
    heights("at 60 degrees into the wind", 18.0, 0.02, deg=60.0, wind=3.0, sd=0.1),
    heights("on a warm day", 20.0, 0.01, scale=303.15 / 288.15, sd=0.05),
    heights("errors that last", 22.0, 0.012, lasting=0.8),
    accelerations("a push that stops at once", dict(s=0.09, a=160.0, ends="at once"), 0.015),
    accelerations("a push that fades out", dict(s=0.2, a=90.0, ends="fading"), 0.03, deg=10.0, wind=2.0),
]))
