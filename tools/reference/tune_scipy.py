"""Tunes a compressed-air ram with scipy's least_squares, for the bench. Reads {"relTol": .., "runs": .., "parameters": [{"path": ..,
"value": .., "u": ..}], "sd": {"start": .., "rest": .., "drag": ..}, "shots": [{"inputs": .., "releaseS": .., "points": [[time, travel, u], ..]}]} from
its standard input, inputs as RamInputs of src/shared/launch/ram/ram-inputs.ts (adiabatic, one valve, open rod side); writes
{"scipy": version, "ms": .., "values": [..], "evaluations": ..}, ms the median processor time of the runs.

The same problem and the same work as tuneLauncher where everything but the parameters is exact: the same residuals and priors, parameters
by their logarithm, the model's clock set by the end of its push; derivatives of the parameters by a difference to one side over a
hundredth of an u, those of where each shot lies in closed form. The push is integrated by solve_ivp, DOP853.
"""
import json
import math
import sys
import time

import numpy as np
import scipy
from scipy.integrate import solve_ivp
from scipy.optimize import least_squares

R, RHO0, T0, G, GAMMA = 287.05, 1.185, 293.15, 9.80665, 1.4


def push(case, rel_tol):
    """(exit time, exit speed, function of an array of times giving travel and speed) of one push."""
    pa, ta = case["airPressurePa"], case["temperatureK"]
    vt, vd, stroke, mass = case["tankVolumeM3"], case["deadVolumeM3"], case["strokeM"], case["totalMassKg"]
    area = math.pi / 4 * case["boreM"] ** 2
    weight = mass * G * math.sin(case["angleRad"])
    c, b, opens = case["valve"]["conductance"], case["valve"]["criticalRatio"], case["openingS"]
    slides, viscous = case["slidingN"], case["viscousNsPerM"]
    breakaway = max(case["breakawayN"], slides)
    tank_pa = case["gaugePressurePa"] + pa
    tank_kg, chamber_kg = tank_pa * vt / (R * ta), pa * vd / (R * ta)

    def rhs(t, y, moving, opening):
        passed, tank, chamber, x, v = y
        v = v if moving else 0.0
        volume = vd + area * x
        forward = tank >= chamber
        up, low = (tank, chamber) if forward else (chamber, tank)
        kelvin = tank * vt / ((tank_kg - passed) * R) if forward else chamber * volume / ((chamber_kg + passed) * R)
        z = (up - low) / up / (1 - b)
        ratio = 1.0 if z >= 1 else math.sqrt(z * (2 - z)) if z > 1e-4 else z * math.sqrt((2 - z) / math.sqrt(z * z + 1e-16))
        q = (min(1.0, t / opens) if opening else 1.0) * c * RHO0 * up * math.sqrt(T0 / kelvin) * ratio
        q = q if forward else -q
        carried = GAMMA * R * kelvin * q
        pushing = (chamber - pa) * area - weight
        return [
            q,
            -carried / vt,
            (carried - GAMMA * chamber * area * v) / volume,
            v,
            (pushing - slides - viscous * v) / mass if moving else 0.0,
        ]

    def event(value, direction):
        value.terminal, value.direction = True, direction
        return value

    start = event(lambda t, y, *_: (y[2] - pa) * area - weight - breakaway, 1)
    leave = event(lambda t, y, *_: y[3] - stroke, 1)
    chokes = event(lambda t, y, *_: y[2] - b * y[1], 0)
    scales = [1e-4 * chamber_kg, 1e-4 * pa, 1e-2 * pa, 1e-4 * stroke, 1e-4 * math.sqrt(2 * (tank_pa - pa) * area * stroke / mass)]
    atol = rel_tol * np.array(scales)
    y, t, moving, opening, runs = np.array([0.0, tank_pa, pa, 0.0, 0.0]), 0.0, False, opens > 0, []
    while True:
        events = [leave if moving else start, chokes]
        end = opens if opening else t + 10
        s = solve_ivp(rhs, [t, end], y, "DOP853", args=(moving, opening), rtol=rel_tol, atol=atol, events=events, dense_output=True)
        runs.append((t, s.sol))
        t, y = float(s.t[-1]), s.y[:, -1]
        if len(s.t_events[0]):
            if moving:
                break
            moving = True
        elif len(s.t_events[1]):
            t, y = t + 1e-12, y + 1e-12 * np.array(rhs(t, y, moving, opening))  # over the surface, or it is found again
        elif opening:
            opening = False
        else:
            raise RuntimeError("the ram does not complete its stroke")

    begins = np.array([one[0] for one in runs])

    def at(times):
        """Travel and speed at times up to the exit."""
        travel, speed = np.zeros(len(times)), np.zeros(len(times))
        which = np.searchsorted(begins, times, side="right") - 1
        for k, (_, sol) in enumerate(runs):
            here = (which == k) & (times > 0)
            if here.any():
                state = sol(times[here])
                travel[here], speed[here] = state[3], state[4]
        return travel, speed

    return t, float(y[4]), at


def with_values(case, parameters, values):
    case = json.loads(json.dumps(case))
    for parameter, value in zip(parameters, values):
        *path, last = parameter["path"].split(".")
        node = case
        for key in path:
            node = node[key]
        node[last] = value
    return case


class Tuning:
    def __init__(self, asked):
        self.parameters, self.shots, self.sd, self.rel_tol = asked["parameters"], asked["shots"], asked["sd"], asked["relTol"]
        self.points = [np.array(shot["points"]) for shot in self.shots]
        self.rows = sum(len(points) for points in self.points)
        self.p = len(self.parameters)
        self.n = self.p + 3 * len(self.shots)
        self.evaluations = 0

    def values(self, z):
        return [one["value"] * math.exp(one["u"] / one["value"] * z[i]) for i, one in enumerate(self.parameters)]

    def model(self, shot, values, place):
        """Travel, speed and time flown at each point of a shot."""
        self.evaluations += 1
        case = with_values(self.shots[shot]["inputs"], self.parameters, values)
        exit_s, exit_speed, at = push(case, self.rel_tol)
        start, _, drag = place
        times = self.points[shot][:, 0] - (self.shots[shot]["releaseS"] + self.sd["start"] * start - exit_s)
        flown = np.maximum(0.0, times - exit_s)
        travel, speed = at(np.minimum(times, exit_s))
        slowing = G * math.sin(case["angleRad"]) + self.sd["drag"] * drag
        travel = travel + exit_speed * flown - slowing * flown**2 / 2
        speed = np.where(flown > 0, exit_speed - slowing * flown, speed)
        return travel, speed, flown

    def places(self, z, shot):
        return z[self.p + 3 * shot : self.p + 3 * shot + 3]

    def residuals(self, z):
        rows = []
        for shot, points in enumerate(self.points):
            place = self.places(z, shot)
            travel, _, _ = self.model(shot, self.values(z), place)
            rows.append((points[:, 1] - self.sd["rest"] * place[1] - travel) / points[:, 2])
        return np.concatenate(rows + [z])

    def jacobian(self, z):
        out = np.zeros((self.rows + self.n, self.n))
        out[self.rows :, :] = np.eye(self.n)
        row = 0
        for shot, points in enumerate(self.points):
            place, u = self.places(z, shot), points[:, 2]
            here, speed, flown = self.model(shot, self.values(z), place)
            span, at = slice(row, row + len(points)), self.p + 3 * shot
            for j in range(self.p):
                moved = z.copy()
                moved[j] += 0.01
                travel, _, _ = self.model(shot, self.values(moved), place)
                out[span, j] = (here - travel) / 0.01 / u
            out[span, at] = self.sd["start"] * speed / u
            out[span, at + 1] = -self.sd["rest"] / u
            out[span, at + 2] = self.sd["drag"] * flown**2 / 2 / u
            row += len(points)
        return out


asked = json.load(sys.stdin)
taken = []
for _ in range(asked["runs"]):
    tuning = Tuning(asked)
    begun = time.process_time()
    found = least_squares(tuning.residuals, np.zeros(tuning.n), jac=tuning.jacobian, method="trf", ftol=1e-6, xtol=1e-6, gtol=1e-6)
    taken.append(1000 * (time.process_time() - begun))
answer = {"ms": sorted(taken)[len(taken) // 2], "values": tuning.values(found.x), "evaluations": tuning.evaluations}
json.dump({"scipy": scipy.__version__, **answer}, sys.stdout)
