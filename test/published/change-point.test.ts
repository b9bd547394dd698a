import { describe, expect, it } from "vitest";
import { leastSquares } from "../../src/shared/numeric/householder.ts";
import { levenbergMarquardt } from "../../src/shared/numeric/levenberg-marquardt.ts";
import { localPolynomialWeights } from "../../src/shared/numeric/local-polynomial.ts";
import { createChance } from "../../src/shared/quantity/chance.ts";
import { unwrap } from "../../src/shared/quantity/result.ts";

/*
 * Push to free flight as a segmented regression with an unknown join (Hudson, J. Am. Stat. Assoc. 61:1097,
 * 1966): x = x_r + v_r u + [u < 0](a_r u²/2 + j u³/6), u = t - t_r. The product fits no such parametric form
 * (its push is free); the form is written here and solved with the product's Householder and
 * Levenberg-Marquardt. Reference: scipy 1.10, linear least squares with t_r profiled
 * (tools/reference/differentiation.py).
 */
const RATE = 480;
const RELEASE = 0.0517;
const TRUE_SPEED = 8.0328875; // 220 t_r - 1250 t_r²
const times = Array.from({ length: 48 }, (_, k) => k / RATE);
const truth = (t: number) => {
  const u = Math.min(t, RELEASE);
  return 110 * u * u - (2500 * u ** 3) / 6 + TRUE_SPEED * Math.max(0, t - RELEASE);
};
const noisy = times.map((t, k) => truth(t) + 1e-3 * (((7919 * (k + 1)) % 101) / 101 - 0.5));

interface Segmented {
  readonly releaseS: number;
  readonly speed: number;
  readonly acceleration: number;
  readonly sse: number;
}

/** Linear in x_r, v_r, a_r, j for a given t_r. */
function profiled(y: readonly number[], releaseS: number): Segmented {
  const rows = times.flatMap((t) => rowOf(t - releaseS));
  const { x, sumOfSquares } = unwrap(leastSquares(Float64Array.from(rows), times.length, 4, y));
  return { releaseS, speed: x[1]!, acceleration: x[2]!, sse: sumOfSquares };
}

function rowOf(u: number): readonly number[] {
  return [1, u, u < 0 ? u ** 2 / 2 : 0, u < 0 ? u ** 3 / 6 : 0];
}

/** t_r on a grid, then all five parameters together by Levenberg-Marquardt. */
function segmented(y: readonly number[], from: number, to: number, steps: number): Segmented {
  let best = profiled(y, from);
  for (let i = 1; i <= steps; i++) {
    const next = profiled(y, from + ((to - from) * i) / steps);
    if (next.sse < best.sse) best = next;
  }
  const rows = times.flatMap((t) => rowOf(t - best.releaseS));
  const { x } = unwrap(leastSquares(Float64Array.from(rows), times.length, 4, y));
  const fit = levenbergMarquardt({
    count: times.length,
    start: [...x, best.releaseS],
    typical: [0.1, 1, 10, 1000, 0.01],
    residuals: (p, out) => {
      times.forEach((t, i) => {
        const row = rowOf(t - p[4]!);
        out[i] = row.reduce((sum, r, j) => sum + r * p[j]!, 0) - y[i]!;
      });
    },
    jacobian: (p, out) => {
      times.forEach((t, i) => {
        const u = t - p[4]!;
        const slope = p[1]! + (u < 0 ? p[2]! * u + (p[3]! * u * u) / 2 : 0);
        out.set([...rowOf(u), -slope], 5 * i);
      });
    },
  });
  const [, speed, acceleration, , releaseS] = fit.parameters as unknown as [
    number,
    number,
    number,
    number,
    number,
  ];
  return { releaseS, speed, acceleration, sse: fit.sumOfSquares };
}

describe("segmented regression of a push that ends (Hudson 1966; scipy)", () => {
  it("gives release 0.05162639 s, speed 8.02902078 m/s, acceleration 90.667431 m/s² and sum of squares 3.77361242e-6 m²", () => {
    const fit = segmented(noisy, 0.03, 0.08, 200);
    expect(fit.releaseS).toBeCloseTo(0.05162639, 8);
    expect(fit.speed).toBeCloseTo(8.02902078, 7);
    expect(fit.acceleration).toBeCloseTo(90.667431, 5);
    expect(fit.sse).toBeCloseTo(3.77361242e-6, 14);
    expect(1e3 * Math.sqrt(fit.sse / 48)).toBeCloseTo(0.280387, 6);
  });

  it("where a window of 15 frames on the release frame reads 7.7606285 m/s, 0.27 low", () => {
    const weights = localPolynomialWeights(15, 2, 1, 7);
    const read = RATE * weights.reduce((sum, c, i) => sum + c * noisy[18 + i]!, 0);
    expect(read).toBeCloseTo(7.7606285, 7);
    expect(TRUE_SPEED - read).toBeCloseTo(0.27, 2);
  });

  it("scatters in 400 seeded shots of 0.3 mm noise as the Cramér-Rao bound of 0.004223 m/s says, unbiased; the window is 0.2756 low", () => {
    const chance = createChance(17);
    const weights = localPolynomialWeights(15, 2, 1, 7);
    const [errors, reads]: [number[], number[]] = [[], []];
    for (let run = 0; run < 400; run++) {
      const y = times.map((t) => truth(t) + 0.3e-3 * chance.normal());
      errors.push(segmented(y, 0.046, 0.058, 24).speed - TRUE_SPEED);
      reads.push(RATE * weights.reduce((sum, c, i) => sum + c * y[18 + i]!, 0) - TRUE_SPEED);
    }
    const mean = (all: readonly number[]) => all.reduce((sum, one) => sum + one, 0) / all.length;
    const sd = Math.sqrt(mean(errors.map((one) => (one - mean(errors)) ** 2)));
    const bound =
      0.3e-3 *
      boundOf(
        times.map((t) => t - RELEASE),
        { releaseKnown: false, a: 90.75, jerk: -2500, pushDegree: 3 },
      );
    expect(bound).toBeCloseTo(0.004223332, 8);
    // A sample sd of 400 is good to 3.5 %, three of them 11 %; the published run's efficiency is 0.96.
    expect(sd / bound).toBeGreaterThan(0.9);
    expect(sd / bound).toBeLessThan(1.13);
    expect(Math.abs(mean(errors))).toBeLessThan((3 * sd) / 20);
    expect(mean(reads)).toBeCloseTo(-0.27556, 2);
  });
});

/** sd of v_r for marks of unit variance: √[(JᵀJ)⁻¹]_vv. Source: Kay, Estimation Theory (1993), ch. 3. */
function boundOf(
  us: readonly number[],
  form: {
    readonly releaseKnown: boolean;
    readonly a: number;
    readonly jerk: number;
    readonly pushDegree: 2 | 3;
  },
): number {
  const rows = us.map((u) => {
    const row = rowOf(u).slice(0, form.pushDegree + 1);
    return form.releaseKnown ? row : [...row, u < 0 ? -(form.a * u + (form.jerk * u * u) / 2) : 0];
  });
  const n = rows[0]!.length;
  const { covariance } = unwrap(
    leastSquares(
      Float64Array.from(rows.flat()),
      rows.length,
      n,
      us.map(() => 0),
    ),
  );
  return Math.sqrt(covariance[n + 1]!);
}

describe("Cramér-Rao bound of the release speed: 480 frames/s, marks good to 0.5 mm, 24 frames either side (Kay 1993, ch. 3; derived)", () => {
  const u = 0.5e-3;
  const either = Array.from({ length: 48 }, (_, k) => (k - 23.5) / RATE);
  it.each([
    ["release known, push cubic", { releaseKnown: true, a: 0, jerk: 0, pushDegree: 3 }, 0.00516933],
    [
      "release unknown, push cubic (150 m/s², -2000 m/s³)",
      { releaseKnown: false, a: 150, jerk: -2000, pushDegree: 3 },
      0.00653305,
    ],
    [
      "release unknown, push quadratic (150 m/s²)",
      { releaseKnown: false, a: 150, jerk: 0, pushDegree: 2 },
      0.00621,
    ],
  ] as const)("%s: %o gives %d m/s", (_, form, bound) => {
    expect(u * boundOf(either, form)).toBeCloseTo(bound, 8);
  });

  it("free flight alone: 0.00707721 m/s as a line, 0.0272931 m/s as a parabola read at its first frame", () => {
    const root = (degree: number, at: number) =>
      Math.sqrt(localPolynomialWeights(24, degree, 1, at).reduce((sum, c) => sum + c * c, 0));
    expect(u * RATE * root(1, 11.5)).toBeCloseTo(0.00707721, 8);
    expect(u * RATE * root(2, 0)).toBeCloseTo(0.0272931, 7);
  });
});
