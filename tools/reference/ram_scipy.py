"""Times scipy's solve_ivp on the compressed-air ram, for the bench. Reads {"relTol": .., "runs": .., "cases": {name: inputs}} from its
standard input, inputs as RamInputs of src/shared/launch/ram/ram-inputs.ts (one valve, no leak); writes
{"scipy": version, "cases": {name: {"ms": .., "exitSpeedMPerS": ..}}}, ms the median of the runs after the first.

The same problem and the same work as predictRam: the same equations, tolerances and events; a new run at break-away, at the end of the
valve's opening and where a flow changes its law; dense output kept; the search for the peak of the acceleration is left out here, which
favours scipy. DOP853.
"""
import json
import math
import sys
import time

import numpy as np
import scipy
from scipy.integrate import solve_ivp

R, RHO0, T0, G, GAMMA = 287.05, 1.185, 293.15, 9.80665, 1.4


def flow(c, b, from_pa, from_k, to_pa, to_k):
    """kg/s and the temperature it comes with; linear within 1e-8 of equal pressures, as in valve-flow.ts."""
    forward = from_pa >= to_pa
    up, low, kelvin = (from_pa, to_pa, from_k) if forward else (to_pa, from_pa, to_k)
    if not (up > 0 and low > 0 and kelvin > 0):
        return math.nan, math.nan  # a trial stage gone wild: the step is rejected
    z = (up - low) / up / (1 - b)
    ratio = 1.0 if z >= 1 else math.sqrt(z * (2 - z)) if z > 1e-4 else z * math.sqrt((2 - z) / math.sqrt(z * z + 1e-16))
    q = c * RHO0 * up * math.sqrt(T0 / kelvin) * ratio
    return (q if forward else -q), kelvin


def run(case, rel_tol):
    pa, ta = case["airPressurePa"], case["temperatureK"]
    n = 1.0 if case["gas"] == "isothermal" else GAMMA
    vt, vd, stroke, mass = case["tankVolumeM3"], case["deadVolumeM3"], case["strokeM"], case["totalMassKg"]
    area = math.pi / 4 * case["boreM"] ** 2
    weight = mass * G * math.sin(case["angleRad"])
    c, b, opens = case["valve"]["conductance"], case["valve"]["criticalRatio"], case["openingS"]
    slides, viscous = case["slidingN"], case["viscousNsPerM"]
    breakaway = max(case["breakawayN"], slides)
    rod = case["rodChamber"]
    rod_area = area - math.pi / 4 * rod["rodDiameterM"] ** 2 if rod else 0.0
    tank_pa = case["gaugePressurePa"] + pa
    tank_kg, chamber_kg = tank_pa * vt / (R * ta), pa * vd / (R * ta)
    rod_kg = pa * (rod["volumeM3"] + rod_area * stroke) / (R * ta) if rod else 0.0

    def kelvin(p, v, kg):
        return ta if n == 1.0 else p * v / (kg * R)

    def net(y):
        return (y[1] - y[2] - pa) * area - (y[7] * rod_area if rod else 0.0) - weight

    def rhs(t, y, moving, opening):
        open_ = min(1.0, t / opens) if opening else 1.0
        volume = vd + area * y[3]
        chamber_pa = y[1] - y[2]
        q, up_k = flow(
            open_ * c, b, y[1], kelvin(y[1], vt, tank_kg - y[0]), chamber_pa, kelvin(chamber_pa, volume, chamber_kg + y[0])
        )
        carried = n * R * up_k * q
        v = y[4] if moving else 0.0
        power = chamber_pa * area * v
        d_tank = -carried / vt
        out = [
            q,
            d_tank,
            d_tank - (carried - n * power) / volume,
            v,
            (net(y) - slides - viscous * v) / mass if moving else 0.0,
            power,
        ]
        if rod:
            rod_pa, rod_volume = pa + y[7], rod["volumeM3"] + rod_area * (stroke - y[3])
            qr, rod_k = flow(
                rod["vent"]["conductance"], rod["vent"]["criticalRatio"], rod_pa, kelvin(rod_pa, rod_volume, y[6]), pa, ta
            )
            out += [-qr, n * (rod_pa * rod_area * v - R * rod_k * qr) / rod_volume]
        return out

    speed_scale = math.sqrt(2 * (tank_pa - pa) * area * stroke / mass)
    scales = [1e-4 * chamber_kg, 1e-4 * pa, 1e-2 * pa, 1e-4 * stroke, 1e-4 * speed_scale, 1e-4 * tank_pa * area * stroke]
    y = [0.0, tank_pa, tank_pa - pa, 0.0, 0.0, 0.0]
    if rod:
        scales += [1e-4 * rod_kg, 1e-2 * pa]
        y += [rod_kg, 0.0]
    y, atol = np.array(y), rel_tol * np.array(scales)

    def event(value, direction):
        value.terminal, value.direction = True, direction
        return value

    start = event(lambda t, y, *_: net(y) - breakaway, 1)
    leave = event(lambda t, y, *_: y[3] - stroke, 1)
    chokes = [event(lambda t, y, *_: y[1] - y[2] - b * y[1], 0)]
    if rod:
        chokes.append(event(lambda t, y, *_: pa - rod["vent"]["criticalRatio"] * (pa + y[7]), 0))
    t, opening = 0.0, opens > 0
    moving = net(y) >= breakaway
    while True:
        events = [leave if moving else start, *chokes]
        end = opens if opening else t + 10
        s = solve_ivp(
            rhs, [t, end], y, "DOP853", args=(moving, opening), rtol=rel_tol, atol=atol, events=events, dense_output=True
        )
        t, y = float(s.t[-1]), s.y[:, -1]
        if len(s.t_events[0]):
            if moving:
                return float(y[4])
            moving = True
        elif any(len(found) for found in s.t_events[1:]):
            t, y = t + 1e-12, y + 1e-12 * np.array(rhs(t, y, moving, opening))  # over the surface, or it is found again
        elif opening:
            opening = False
        else:
            raise RuntimeError("the ram does not complete its stroke")


asked = json.load(sys.stdin)
answers = {}
for name, case in asked["cases"].items():
    taken = []
    for _ in range(asked["runs"] + 1):
        begun = time.process_time()
        speed = run(case, asked["relTol"])
        taken.append(1000 * (time.process_time() - begun))
    answers[name] = {"ms": sorted(taken[1:])[(len(taken) - 1) // 2], "exitSpeedMPerS": speed}
json.dump({"scipy": scipy.__version__, "cases": answers}, sys.stdout)
