import { describe, expect, it } from "vitest";
import { localPolynomialWeights } from "../../src/shared/numeric/local-polynomial.ts";
import { weightedPolynomial } from "../../src/shared/numeric/weighted-polynomial.ts";

/*
 * What a local polynomial costs and misses. Least squares attains the Cramér-Rao bound for white normal noise
 * (Kay, Fundamentals of Statistical Signal Processing: Estimation Theory, 1993, ch. 3, works the line case);
 * the other closed forms were derived and verified in exact rational arithmetic for N = 5 to 39
 * (tools/reference/differentiation.py). Factors multiply σ²/T^2d.
 */
type Place = "centre" | "end";
const D2 = (N: number) => N * (N ** 2 - 1) * (N ** 2 - 4);
const D3 = (N: number) => D2(N) * (N ** 2 - 9);

const BOUNDS: readonly [
  what: string,
  degree: number,
  derivative: 0 | 1 | 2,
  place: Place,
  factor: (N: number) => number,
][] = [
  ["x", 1, 0, "centre", (N) => 1 / N],
  ["x", 1, 0, "end", (N) => (2 * (2 * N - 1)) / (N * (N + 1))],
  ["x", 2, 0, "end", (N) => (3 * (3 * N ** 2 - 3 * N + 2)) / (N * (N + 1) * (N + 2))],
  ["x", 3, 0, "end", (N) => (8 * (2 * N - 1) * (N ** 2 - N + 3)) / (N * (N + 1) * (N + 2) * (N + 3))],
  ["v", 1, 1, "centre", (N) => 12 / (N * (N ** 2 - 1))],
  ["v", 1, 1, "end", (N) => 12 / (N * (N ** 2 - 1))],
  ["v", 2, 1, "centre", (N) => 12 / (N * (N ** 2 - 1))],
  ["v", 2, 1, "end", (N) => (12 * (2 * N - 1) * (8 * N - 11)) / D2(N)],
  ["v", 3, 1, "centre", (N) => (25 * (3 * N ** 4 - 18 * N ** 2 + 31)) / D3(N)],
  ["v", 3, 1, "end", (N) => (200 * (6 * N ** 4 - 27 * N ** 3 + 42 * N ** 2 - 30 * N + 11)) / D3(N)],
  ["a", 2, 2, "centre", (N) => 720 / D2(N)],
  ["a", 2, 2, "end", (N) => 720 / D2(N)],
  ["a", 3, 2, "centre", (N) => 720 / D2(N)],
  ["a", 3, 2, "end", (N) => (1440 * (2 * N - 1) * (9 * N - 13)) / D3(N)],
];

const indexOf = (N: number, place: Place) => (place === "centre" ? (N - 1) / 2 : N - 1);

/** Variance of the d-th derivative by the weights of the local polynomial: Σ c_k². */
function byWeights(N: number, degree: number, derivative: number, place: Place): number {
  const weights = localPolynomialWeights(N, degree, derivative, indexOf(N, place));
  return weights.reduce((sum, c) => sum + c * c, 0);
}

/** The same from the covariance of the fitted coefficients. */
function byCovariance(N: number, degree: number, derivative: number, place: Place): number {
  const frames = Array.from({ length: N }, (_, k) => k);
  const { covariance, centre, half } = weightedPolynomial(
    frames,
    frames.map(() => 0),
    frames.map(() => 1),
    degree,
  );
  const z = (indexOf(N, place) - centre) / half;
  const row = Array.from({ length: degree + 1 }, (_, j) => {
    let factor = 1;
    for (let k = 0; k < derivative; k++) factor *= j - k;
    return j < derivative ? 0 : (factor * z ** (j - derivative)) / half ** derivative;
  });
  return row.reduce((sum, ri, i) => sum + row.reduce((s, rj, j) => s + ri * covariance[i]![j]! * rj, 0), 0);
}

describe("local polynomial variance is the Cramér-Rao bound (Kay 1993, ch. 3; derived)", () => {
  it.each(BOUNDS)(
    "of %s, degree %i, derivative %i, at the %s, for N 5 to 51",
    (_, degree, derivative, place, factor) => {
      for (let N = 5; N <= 51; N++) {
        expect(byWeights(N, degree, derivative, place) / factor(N)).toBeCloseTo(1, 9);
        expect(byCovariance(N, degree, derivative, place) / factor(N)).toBeCloseTo(1, 6);
      }
    },
  );

  it.each([
    [5, 0.1, 1.24285714, 0.902777778, 6.37896825, 0.285714286, 10.2857143],
    [9, 0.0166666667, 0.224458874, 0.114337823, 1.14367885, 0.012987013, 0.417027417],
    [15, 0.00357142857, 0.0510827408, 0.0230458993, 0.276366245, 9.69618617e-4, 0.0317639876],
    [21, 0.0012987013, 0.0191298404, 0.00824850701, 0.107172805, 1.78311391e-4, 0.00595692129],
    [31, 4.03225806e-4, 0.00609136414, 0.00253869834, 0.0352315523, 2.52806148e-5, 8.61771547e-4],
  ])(
    "has the tabled factors for N = %i (exact rational arithmetic)",
    (N, vMid, vEnd2, vMid3, vEnd3, a2, aEnd3) => {
      const found = [
        byWeights(N, 1, 1, "centre"),
        byWeights(N, 2, 1, "end"),
        byWeights(N, 3, 1, "centre"),
        byWeights(N, 3, 1, "end"),
        byWeights(N, 2, 2, "centre"),
        byWeights(N, 3, 2, "end"),
      ];
      // nine significant digits are printed
      for (const [i, printed] of [vMid, vEnd2, vMid3, vEnd3, a2, aEnd3].entries()) {
        expect(Math.abs(found[i]! / printed - 1)).toBeLessThan(6e-9);
      }
    },
  );

  it("costs 16 and 36 times as much at the end of a long window as in its middle", () => {
    const N = 2001;
    expect(byWeights(N, 2, 1, "end") / byWeights(N, 2, 1, "centre")).toBeCloseTo(16, 1);
    expect(byWeights(N, 3, 1, "end") / byWeights(N, 3, 1, "centre")).toBeCloseTo(16, 1);
    expect(byWeights(N, 3, 2, "end") / byWeights(N, 3, 2, "centre")).toBeCloseTo(36, 1);
  });

  it.each([
    [240, 9, 0.0154919, 0.0568525, 3.28206],
    [960, 21, 0.017298, 0.0663891, 6.15321],
  ])(
    "of marks good to 0.5 mm at %i frames/s, N %i: %d m/s in the middle, %d m/s at the end, %d m/s²",
    (rate, N, mid, end, a) => {
      const u = 0.5e-3;
      expect(u * rate * Math.sqrt(byWeights(N, 2, 1, "centre"))).toBeCloseTo(mid, 7);
      expect(u * rate * Math.sqrt(byWeights(N, 2, 1, "end"))).toBeCloseTo(end, 7);
      expect(u * rate ** 2 * Math.sqrt(byWeights(N, 2, 2, "centre"))).toBeCloseTo(a, 5);
    },
  );
});

/**
 * What the d-th derivative at the middle of a degree-2 window reads of a motion x(k), k from the middle in
 * frames.
 */
function reading(N: number, derivative: 1 | 2, x: (k: number) => number): number {
  const middle = (N - 1) / 2;
  return localPolynomialWeights(N, 2, derivative, middle).reduce((sum, c, i) => sum + c * x(i - middle), 0);
}

describe("local polynomial bias, degree 2, centred (derived; scipy savgol_coeffs)", () => {
  it.each([
    [9, 1.9666667, 1.3690476],
    [21, 10.9666667, 7.797619],
  ])(
    "for N = %i is jerk T² times %d in speed and snap T² times %d in acceleration",
    (N, speed, acceleration) => {
      expect(reading(N, 1, (k) => k ** 3 / 6)).toBeCloseTo(speed, 7);
      expect(reading(N, 1, (k) => k ** 3 / 6)).toBeCloseTo((3 * N * N - 7) / 120, 11);
      expect(reading(N, 2, (k) => k ** 4 / 24)).toBeCloseTo(acceleration, 7);
      expect(reading(N, 2, (k) => k ** 4 / 24)).toBeCloseTo((3 * N * N - 13) / 168, 11);
    },
  );

  // Root mean square error = bound and bias together, for noise 0.5 mm, jerk 5000 m/s³, snap 4e5 m/s⁴.
  it.each([
    [240, 4.3076, 7.1452, 5, 7, 0.0621259839, 8.3772249768],
    [960, 14.1346, 24.5007, 15, 25, 0.0416529, 6.23874],
  ])(
    "and noise together are least near the large-N optimum: at %i frames/s N %d and %d, exactly %i and %i",
    (rate, nV, nA, bestV, bestA, rmseV, rmseA) => {
      const [u, T, jerk, snap] = [0.5e-3, 1 / rate, 5000, 4e5];
      expect(((14400 * u ** 2) / (jerk ** 2 * T ** 6)) ** (1 / 7)).toBeCloseTo(nV, 4);
      expect(((2822400 * u ** 2) / (snap ** 2 * T ** 8)) ** (1 / 9)).toBeCloseTo(nA, 4);
      const sizes = Array.from({ length: 40 }, (_, i) => 5 + 2 * i);
      const errors = (derivative: 1 | 2) =>
        sizes.map((N) => {
          const noise = (u / T ** derivative) * Math.sqrt(byWeights(N, 2, derivative, "centre"));
          const bias = reading(N, derivative, (k) =>
            derivative === 1 ? (jerk * T ** 2 * k ** 3) / 6 : (snap * T ** 2 * k ** 4) / 24,
          );
          return Math.hypot(noise, bias);
        });
      const [v, a] = [errors(1), errors(2)];
      expect(sizes[v.indexOf(Math.min(...v))]).toBe(bestV);
      expect(sizes[a.indexOf(Math.min(...a))]).toBe(bestA);
      expect(Math.min(...v)).toBeCloseTo(rmseV, 6);
      expect(Math.min(...a)).toBeCloseTo(rmseA, 4);
    },
  );

  // Davis & Challis, J. Biomech. 101:109619 (2020), report the loss on real impacts; the ratios are of an
  // ideal half sine.
  it.each([
    [0.1, 0.99822132],
    [0.2, 0.99290005],
    [0.3, 0.98408029],
    [0.5, 0.9562651],
    [1, 0.83387503],
  ])(
    "reads a half-sine pulse of acceleration low at its peak: window/duration %d leaves %d",
    (share, ratio) => {
      const N = 201;
      const omega = (Math.PI * share) / (N - 1);
      const read = reading(N, 2, (k) => -Math.cos(omega * k) / omega ** 2);
      expect(read).toBeCloseTo(ratio, 8);
      // 1 - (π W/D)²/56 is the first term of the loss; the next is of fourth order.
      const first = 1 - (Math.PI * share) ** 2 / 56;
      expect(Math.abs(read - first)).toBeLessThan(0.011 * share ** 2);
    },
  );

  it("reads at release half the acceleration, and the speed low by 0.0942164 a W (3/32 in the limit)", () => {
    const N = 201;
    const edge = (k: number) => (k < 0 ? k ** 2 / 2 : 0);
    expect(reading(N, 2, edge)).toBeCloseTo(0.5, 11);
    expect(-reading(N, 1, edge) / (N - 1)).toBeCloseTo(0.0942164, 7);
    const long = 4001;
    expect(-reading(long, 1, edge) / (long - 1)).toBeCloseTo(3 / 32, 4);
  });
});
