"""Prints, as one JSON document, reference figures of the tests: test/published/curve-functions.

What two common ways of differentiating reach on the same samples: a quintic smoothing spline whose
smoothness minimises the generalised cross-validation (Craven & Wahba, Numer. Math. 31:377, 1979; Woltring,
Adv. Eng. Softw. 8:104, 1986), and a Butterworth filter of second order run both ways, cut off where the
error of the rate, or of the acceleration, against the truth is least, then central differences. The filter
is given the truth to be tuned by; the spline is not. Root-mean-square errors over 10 records, samples within
five of a change point left out. Shares no code with the product; the noise is Park and Miller's generator
(Commun. ACM 31:1192, 1988) and Box and Muller's normals.
"""
import json
import numpy as np
from scipy.interpolate import BSpline
from scipy.linalg import eigh, null_space
from scipy.optimize import minimize_scalar
from scipy.signal import butter, filtfilt
from math import lgamma

RECORDS = 10


def normals(seed, n):
    state = 7919 * seed + 12345
    out = []
    for _ in range(n):
        state = state * 16807 % 2147483647
        u1 = state / 2147483647
        state = state * 16807 % 2147483647
        u2 = state / 2147483647
        out.append(np.sqrt(-2 * np.log(u1)) * np.cos(2 * np.pi * u2))
    return np.array(out)


def beta(p, q):
    norm = np.exp(lgamma(p) + lgamma(q) - lgamma(p + q))

    def at(x):
        f = x ** (p - 1) * (1 - x) ** (q - 1) / norm
        slope = (p - 1) / x - (q - 1) / (1 - x)
        return np.array([f, f * slope, f * (slope**2 - (p - 1) / x**2 - (q - 1) / (1 - x) ** 2)])

    return at


def mixture(*terms):
    parts = [(w, beta(p, q)) for w, p, q in terms]
    return lambda x: sum(w * part(x) for w, part in parts)


def heavisine(x):
    w = 4 * np.pi
    jump = -np.sign(x - 0.3) - np.sign(0.72 - x)
    return np.array([4 * np.sin(w * x) + jump, 4 * w * np.cos(w * x), -4 * w * w * np.sin(w * x)])


def swing(x):
    d, w = 0.5, 2 * np.pi * 1.1
    e = 0.6 * np.exp(-d * x)
    c, s = np.cos(w * x), np.sin(w * x)
    return np.array([e * c, e * (-d * c - w * s), e * ((d * d - w * w) * c + 2 * d * w * s)])


def hop(x):
    g, start, contact = 9.81, 0.4, 0.1
    w = np.pi / contact
    push = w / 2 * (2 * g * start + g * contact)
    u = np.clip(x - start, 0, contact)
    after = np.maximum(x - start - contact, 0)
    y = -g * x * x / 2 + push / w * (u - np.sin(w * u) / w) + after * 2 * push / w
    v = -g * x + push / w * (1 - np.cos(w * u))
    a = -g + np.where((x > start) & (x < start + contact), push * np.sin(w * u), 0)
    return np.array([y, v, a])


def push(x):
    u = np.clip(x - 0.3, 0, 0.3)
    a = np.where((x > 0.3) & (x < 0.6), 10.0, 0)
    return np.array([5 * u * u + 3 * np.maximum(x - 0.6, 0), 10 * u, a])


def thrust(x):
    d = 0.015
    e = np.exp(-(np.maximum(x, 0.12) - 0.12) / d)
    up, down = (x >= 0.12) & (x < 0.75), (x >= 0.75) & (x < 0.8)
    y = np.where(up, 9.5 * (1 - e) - 2 * (x - 0.12), np.where(down, 8.24 * (1 - (x - 0.75) / 0.05), 0))
    v = np.where(up, 9.5 / d * e - 2, np.where(down, -8.24 / 0.05, 0))
    return np.array([y, v, np.where(up, -9.5 / d**2 * e, 0)])


SIGNALS = {
    "wahba-1": (mixture((1 / 3, 10, 5), (1 / 3, 7, 7), (1 / 3, 5, 10)), 128, 1, 0.05, []),
    "wahba-2": (mixture((0.6, 30, 17), (0.4, 3, 11)), 128, 1, 0.1, []),
    "wahba-3": (mixture((1 / 3, 20, 5), (1 / 3, 12, 12), (1 / 3, 7, 30)), 128, 1, 0.1, []),
    "swing": (swing, 142, 2.84, 0.01, []),
    "heavisine": (heavisine, 256, 1, 0.2, [0.3, 0.72]),
    "hop": (hop, 200, 1, 0.002, [0.4, 0.5]),
    "push": (push, 200, 1, 0.002, [0.3, 0.6]),
    "thrust": (thrust, 480, 1, 0.12, [0.12, 0.75, 0.8]),
}


def quintic_gcv(x, y):
    """Value, rate and acceleration of the quintic smoothing spline of least GCV."""
    n, k = len(x), 5
    knots = np.r_[[x[0]] * k, x, [x[-1]] * k]
    m = len(knots) - k - 1
    spline = BSpline(knots, np.eye(m), k)
    rows = [spline(x, d) for d in (0, 1, 2)]
    nodes, weights = np.polynomial.legendre.leggauss(3)
    penalty = np.zeros((m, m))
    for a, b in zip(x[:-1], x[1:]):
        at = (a + b) / 2 + (b - a) / 2 * nodes
        third = spline(at, 3)
        penalty += third.T @ (third * (weights * (b - a) / 2)[:, None])
    # Natural at both ends: the third and fourth derivatives vanish there. What is left has n coefficients.
    ends = np.vstack([spline(one, d) for one in (x[0], x[-1]) for d in (3, 4)])
    natural = null_space(ends)
    rows = [row @ natural for row in rows]
    from_values = np.linalg.inv(rows[0])
    roughness = from_values.T @ natural.T @ penalty @ natural @ from_values
    values, vectors = eigh((roughness + roughness.T) / 2)
    values = np.clip(values, 0, None)
    values[:3] = 0
    moment = vectors.T @ y

    def fit(log):
        return from_values @ (vectors @ (moment / (1 + np.exp(log) * values)))

    def gcv(log):
        shrunk = 1 / (1 + np.exp(log) * values)
        free = n - np.sum(shrunk)
        # near interpolation the criterion is nought over nought
        return n * np.sum((moment * (1 - shrunk)) ** 2) / free**2 if free > 0.02 * n else np.inf

    span = np.log(x[-1] - x[0]) * 6
    logs = span + np.linspace(-45, 0, 181)
    best = logs[int(np.argmin([gcv(one) for one in logs]))]
    best = minimize_scalar(gcv, bounds=(best - 0.2, best + 0.5), method="bounded").x
    return [row @ fit(best) for row in rows]


def filtered(x, y, cut):
    b, a = butter(2, cut)
    smooth = filtfilt(b, a, y, padlen=min(30, len(y) - 2))
    h = x[1] - x[0]
    rate = np.gradient(smooth, h)
    acceleration = np.gradient(rate, h)
    acceleration[1:-1] = (smooth[2:] - 2 * smooth[1:-1] + smooth[:-2]) / h**2
    return rate, acceleration


out = {}
for name, (truth, n, length, size, changes) in SIGNALS.items():
    x = length * (np.arange(n) + 0.5) / n
    exact = truth(x)
    away = np.all([np.abs(x - c) > 5 * length / n for c in changes], axis=0) if changes else np.ones(n, bool)
    records = [exact[0] + size * normals(seed, n) for seed in range(1, RECORDS + 1)]
    splines = [quintic_gcv(x, y) for y in records]
    spline = [
        float(np.sqrt(np.mean([(one[d] - exact[d])[away] ** 2 for one in splines]))) for d in (1, 2)
    ]
    cuts = np.exp(np.linspace(np.log(0.01), np.log(0.6), 80))
    errors = np.array(
        [
            [np.mean([(filtered(x, y, cut)[d - 1] - exact[d])[away] ** 2 for y in records]) for d in (1, 2)]
            for cut in cuts
        ]
    )
    best = np.sqrt(errors.min(axis=0))
    out[name] = {
        "quintic GCV spline, rms error of rate and acceleration": spline,
        "Butterworth tuned on the truth, the same": [float(one) for one in best],
    }
print(json.dumps(out, indent=1))
