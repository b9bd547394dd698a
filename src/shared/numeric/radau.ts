import { denseAt } from "./dormand-prince.ts";
import { factor, solve } from "./lu.ts";
import type { DenseStep, OdeSystem, Stepper } from "./stepper.ts";

const ROOT6 = Math.sqrt(6);

/**
 * Radau IIA with three stages: order 5, stable however stiff the system. A is also the weights in its last
 * row. E and MU make the error estimate of order 3: err = (μ/h − J)⁻¹ (f(t, y) + Σ E_i z_i/h).
 * Source: E. Hairer & G. Wanner, Solving Ordinary Differential Equations II, 2nd ed. (1996), IV.5 and IV.8.
 */
export const RADAU = {
  c: [(4 - ROOT6) / 10, (4 + ROOT6) / 10, 1],
  a: [
    [(88 - 7 * ROOT6) / 360, (296 - 169 * ROOT6) / 1800, (-2 + 3 * ROOT6) / 225],
    [(296 + 169 * ROOT6) / 1800, (88 + 7 * ROOT6) / 360, (-2 - 3 * ROOT6) / 225],
    [(16 - ROOT6) / 36, (16 + ROOT6) / 36, 1 / 9],
  ],
  e: [(-13 - 7 * ROOT6) / 3, (-13 + 7 * ROOT6) / 3, -1 / 3],
  mu: 3 + 3 ** (2 / 3) - 3 ** (1 / 3),
} as const;

const NEWTON_ITERATIONS = 10;
const NEWTON_DONE = 1e-3; // of the step's tolerance: far below what the error estimate lets pass
const DIFFERENCE = 1.5e-8; // √ of a double's rounding: the usual step of a forward difference

/**
 * The implicit method as a stepper: simplified Newton iterations on the three stages together,
 * with a Jacobian by forward differences at each new start. Inside, every component is counted in
 * units of its own tolerance.
 */
export function implicitStepper({ rhs, relTol, absTol }: OdeSystem): Stepper {
  const n = absTol.length;
  const fresh = () => new Float64Array(n);
  const [from, slope, end, endSlope, weight, probe, probeSlope, error] = [
    fresh(),
    fresh(),
    fresh(),
    fresh(),
    fresh(),
    fresh(),
    fresh(),
    fresh(),
  ] as const;
  const jacobian = new Float64Array(n * n);
  const stages = new Float64Array(3 * n); // z_i over the weights
  const stageSlopes = new Float64Array(3 * n);
  const change = new Float64Array(3 * n);
  const big = new Float64Array(9 * n * n);
  const bigPivots = new Int32Array(3 * n);
  const small = new Float64Array(n * n);
  const smallPivots = new Int32Array(n);
  let [t0, size] = [Number.NaN, Number.NaN];
  let last: DenseStep | null = null;

  function prepare(t: number, y: Float64Array): void {
    from.set(y);
    rhs(t, y, slope);
    for (let i = 0; i < n; i++) weight[i] = absTol[i] + relTol * Math.abs(y[i]);
    for (let j = 0; j < n; j++) {
      const delta = (DIFFERENCE * weight[j]) / relTol;
      probe.set(y);
      probe[j] = y[j] + delta;
      rhs(t, probe, probeSlope);
      for (let i = 0; i < n; i++) {
        jacobian[i * n + j] = (((probeSlope[i] - slope[i]) / delta) * weight[j]) / weight[i];
      }
    }
  }

  function factorBoth(h: number): boolean {
    fillStages(big, h, jacobian, n);
    for (let i = 0; i < n * n; i++) small[i] = -jacobian[i];
    for (let i = 0; i < n; i++) small[i * n + i] = small[i * n + i] + RADAU.mu / h;
    return factor(big, bigPivots) && factor(small, smallPivots);
  }

  /**
   * First guess: the polynomial of the step before carried on, or that of a longer step from the same place;
   * nothing where there is neither.
   */
  function guess(t: number, h: number): void {
    const near = (place: number) => Math.abs(place - t) <= 1e-12 * Math.abs(t);
    const known = last !== null && (near(last.t0 + last.h) || (near(last.t0) && h <= last.h));
    const carried = known ? last : null;
    for (let a = 0; a < 3; a++) {
      const ahead = carried === null ? from : denseAt(carried, t + RADAU.c[a] * h);
      for (let i = 0; i < n; i++) stages[a * n + i] = (ahead[i] - from[i]) / weight[i];
    }
  }

  function newton(t: number, h: number): boolean {
    let before = Infinity;
    for (let iteration = 0; iteration < NEWTON_ITERATIONS; iteration++) {
      evaluateStages(t, h);
      for (let a = 0; a < 3; a++) {
        for (let i = 0; i < n; i++) {
          let sum = 0;
          for (let b = 0; b < 3; b++) sum += RADAU.a[a][b] * stageSlopes[b * n + i];
          change[a * n + i] = (h * sum) / weight[i] - stages[a * n + i];
        }
      }
      solve(big, bigPivots, change);
      let size2 = 0;
      for (let i = 0; i < 3 * n; i++) {
        stages[i] = stages[i] + change[i];
        size2 += change[i] ** 2;
      }
      const now = Math.sqrt(size2 / (3 * n));
      if (now <= NEWTON_DONE) return true;
      if (!(now < 2 * before)) return false;
      before = now;
    }
    return false;
  }

  function evaluateStages(t: number, h: number): void {
    for (let a = 0; a < 3; a++) {
      for (let i = 0; i < n; i++) probe[i] = from[i] + stages[a * n + i] * weight[i];
      rhs(t + RADAU.c[a] * h, probe, probeSlope);
      stageSlopes.set(probeSlope, a * n);
    }
  }

  /** Fills `error` from the slope at y or near it; returns its root mean square. */
  function estimate(slopeNear: Float64Array, h: number): number {
    for (let i = 0; i < n; i++) {
      let sum = slopeNear[i] / weight[i];
      for (let a = 0; a < 3; a++) sum += (RADAU.e[a] * stages[a * n + i]) / h;
      error[i] = sum;
    }
    solve(small, smallPivots, error);
    return Math.sqrt(error.reduce((sum, x) => sum + x * x, 0) / n);
  }

  return {
    end,
    endSlope,
    errorOrder: 3,
    attempt(t, y, h) {
      if (t !== t0 || y.some((v, i) => v !== from[i])) prepare(t, y);
      [t0, size] = [t, h];
      if (!factorBoth(h)) return Number.NaN;
      guess(t, h);
      if (!newton(t, h)) {
        for (let i = 0; i < 3 * n; i++) stages[i] = 0;
        if (!newton(t, h)) return Number.NaN;
      }
      for (let i = 0; i < n; i++) end[i] = from[i] + stages[2 * n + i] * weight[i];
      rhs(t + h, end, endSlope);
      let size1 = estimate(slope, h);
      if (size1 > 1) {
        // Hairer & Wanner's second pass, which takes the stiff components out of the estimate.
        for (let i = 0; i < n; i++) probe[i] = from[i] + error[i] * weight[i];
        rhs(t, probe, probeSlope);
        size1 = estimate(probeSlope, h);
      }
      return size1;
    },
    dense() {
      last = collocation(t0, size, from, stages, weight, endSlope);
      return last;
    },
  };
}

/** The stages' matrix 1 - h A ⊗ J, [3n*3n]. */
function fillStages(big: Float64Array, h: number, jacobian: Float64Array, n: number): void {
  for (let a = 0; a < 3; a++) {
    for (let b = 0; b < 3; b++) {
      const by = -h * RADAU.a[a][b];
      for (let i = 0; i < n; i++) {
        for (let j = 0; j < n; j++) {
          const one = a === b && i === j ? 1 : 0;
          big[(a * n + i) * 3 * n + b * n + j] = one + by * jacobian[i * n + j];
        }
      }
    }
  }
}

/** The cubic through y and the three stages, in the terms of `DenseStep` (whose fifth term is then 0). */
function collocation(
  t0: number,
  h: number,
  y: Float64Array,
  stages: Float64Array,
  weight: Float64Array,
  endSlope: Float64Array,
): DenseStep {
  const n = y.length;
  const terms = new Array<number>(5 * n).fill(0);
  const [c1, c2] = RADAU.c;
  for (let i = 0; i < n; i++) {
    const rise = stages[2 * n + i] * weight[i];
    // Divided differences of z(θ)/θ at c1, c2, 1 give z'(0).
    const [g1, g2, g3] = [(stages[i] * weight[i]) / c1, (stages[n + i] * weight[i]) / c2, rise];
    const d12 = (g2 - g1) / (c2 - c1);
    const d123 = ((g3 - g2) / (1 - c2) - d12) / (1 - c1);
    const startSlope = g1 - c1 * d12 + c1 * c2 * d123;
    const bend = startSlope - rise;
    terms[i] = y[i];
    terms[n + i] = rise;
    terms[2 * n + i] = bend;
    terms[3 * n + i] = rise - h * endSlope[i] - bend;
  }
  return { t0, h, terms, implicit: true };
}
