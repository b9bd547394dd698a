"""Prints, as one JSON document, how an airframe pitches while it is pushed: test/published/push-pitch.json.

Shares no code with the product. scipy's solve_ivp, DOP853 at rtol 1e-11, of the equations of a rigid body: on the cradle held by a
spring and a damper; on the last support alone turning about it, the support's force found from the body's own equations and taken
away where it would have to pull. The push along the launcher is a(t) = A (t/T)^p exp(p (1 - t/T)), its travel by quadrature.
"""
import json

import numpy as np
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq

G = 9.80665


def case(name, A=200.0, T=0.03, p=1.0, S=0.1, m=0.66, I=0.02, deg=23.0, e=0.004, k=400.0, c=0.3, tip=None):
    def a(t):
        x = t / T
        return A * x**p * np.exp(p * (1 - x)) if t > 0 else 0.0

    def travel(t):
        return quad(lambda s: (t - s) * a(s), 0, t, epsabs=1e-13, epsrel=1e-12, limit=200)[0]

    al = np.radians(deg)
    length = travel(S)
    tipS = S if tip is None else brentq(lambda t: travel(t) - (length - tip["travel"]), 1e-6, S, xtol=1e-14)
    on = solve_ivp(lambda t, y: [y[1], (m * a(t) * e - k * y[0] - c * y[1]) / I], [0, tipS], [0, 0], "DOP853", rtol=1e-11, atol=1e-14, max_step=S / 400)
    y = on.y[:, -1]
    if tip is not None:
        d = tip["behind"]

        def turn(t):
            push = m * (a(t) + G * np.sin(al)) * e
            # unknowns: angular acceleration w and the support's force N; across the launcher m d w = N - m g cos al
            w, n = np.linalg.solve([[I, d], [m * d, -1]], [push, -m * G * np.cos(al)])
            return w if n > 0 else push / I

        y = solve_ivp(lambda t, y: [y[1], turn(t)], [tipS, S], y, "DOP853", rtol=1e-11, atol=1e-14, max_step=S / 4000).y[:, -1]
    inputs = dict(A=A, T=T, p=p, S=S, m=m, I=I, deg=deg, e=e, k=k, c=c, tip=tip)
    return dict(name=name, inputs=inputs, travel=length, tipS=tipS, pitch=float(y[0]), rate=float(y[1]))


print(json.dumps([
    case("soft cradle"),
    case("stiff cradle, little damping", k=2e4, c=0.05),
    case("stiff cradle, much damping", k=5e3, c=60.0),
    case("damper alone", k=0.0, c=0.5),
    case("free to turn", k=0.0, c=0.0, e=-0.002),
    case("tip-off over a support behind", tip=dict(travel=0.15, behind=0.08)),
    case("tip-off over a support ahead", tip=dict(travel=0.1, behind=-0.05), e=0.001),
    case("lifted off its last support", tip=dict(travel=0.2, behind=0.05), e=-0.02, deg=60.0, k=3000.0),
    case("straight up", deg=90.0, tip=dict(travel=0.2, behind=0.05)),
]))
