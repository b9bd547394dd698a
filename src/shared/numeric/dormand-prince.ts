import type { DenseStep, OdeSystem, Rhs, Stepper } from "./stepper.ts";

/**
 * Coefficients of the Runge-Kutta pair of order 5(4). Rows of A for stages 2 to 7; the last row is also
 * the weights of order 5 (first same as last). E: weights of order 5 less those of order 4. D: the fifth
 * term of the dense output.
 * Source: J. R. Dormand & P. J. Prince, J. Comput. Appl. Math. 6 (1980) 19; dense output from E.
 * Hairer, S. P. Nørsett & G. Wanner, Solving Ordinary Differential Equations I, 2nd ed. (1993), II.6,
 * as in their published DOPRI5.
 */
export const DORMAND_PRINCE = {
  c: [0, 1 / 5, 3 / 10, 4 / 5, 8 / 9, 1, 1],
  a: [
    [],
    [1 / 5],
    [3 / 40, 9 / 40],
    [44 / 45, -56 / 15, 32 / 9],
    [19372 / 6561, -25360 / 2187, 64448 / 6561, -212 / 729],
    [9017 / 3168, -355 / 33, 46732 / 5247, 49 / 176, -5103 / 18656],
    [35 / 384, 0, 500 / 1113, 125 / 192, -2187 / 6784, 11 / 84],
  ],
  e: [71 / 57600, 0, -71 / 16695, 71 / 1920, -17253 / 339200, 22 / 525, -1 / 40],
  d: [
    -12715105075 / 11282082432,
    0,
    87487479700 / 32700410799,
    -10690763975 / 1880347072,
    701980252875 / 199316789632,
    -1453857185 / 822651844,
    69997945 / 29380423,
  ],
} as const;

type Slopes = readonly [
  Float64Array,
  Float64Array,
  Float64Array,
  Float64Array,
  Float64Array,
  Float64Array,
  Float64Array,
];

/**
 * Scratch for steps of a system of `size` equations; `k[0]` holds dy/dt at the start of the
 * step, `k[6]` at its end.
 */
export interface StepScratch {
  readonly k: Slopes;
  readonly stage: Float64Array;
  readonly end: Float64Array;
}

export function stepScratch(size: number): StepScratch {
  const fresh = () => new Float64Array(size);
  return {
    k: [fresh(), fresh(), fresh(), fresh(), fresh(), fresh(), fresh()],
    stage: fresh(),
    end: fresh(),
  };
}

const { a: A, c: C, e: E, d: D } = DORMAND_PRINCE;
const [A21] = A[1];
const [A31, A32] = A[2];
const [A41, A42, A43] = A[3];
const [A51, A52, A53, A54] = A[4];
const [A61, A62, A63, A64, A65] = A[5];
const [A71, , A73, A74, A75, A76] = A[6];

/** One step of size h from (t, y), whose slope stands in `s.k[0]`: leaves y(t + h) of order 5 in `s.end`. */
export function step(rhs: Rhs, t: number, y: Float64Array, h: number, s: StepScratch): void {
  const { stage, end } = s;
  const k1 = s.k[0];
  const k2 = s.k[1];
  const k3 = s.k[2];
  const k4 = s.k[3];
  const k5 = s.k[4];
  const k6 = s.k[5];
  const k7 = s.k[6];
  const n = y.length;
  for (let i = 0; i < n; i++) stage[i] = y[i] + h * A21 * k1[i];
  rhs(t + C[1] * h, stage, k2);
  for (let i = 0; i < n; i++) stage[i] = y[i] + h * (A31 * k1[i] + A32 * k2[i]);
  rhs(t + C[2] * h, stage, k3);
  for (let i = 0; i < n; i++) stage[i] = y[i] + h * (A41 * k1[i] + A42 * k2[i] + A43 * k3[i]);
  rhs(t + C[3] * h, stage, k4);
  for (let i = 0; i < n; i++) {
    stage[i] = y[i] + h * (A51 * k1[i] + A52 * k2[i] + A53 * k3[i] + A54 * k4[i]);
  }
  rhs(t + C[4] * h, stage, k5);
  for (let i = 0; i < n; i++) {
    stage[i] = y[i] + h * (A61 * k1[i] + A62 * k2[i] + A63 * k3[i] + A64 * k4[i] + A65 * k5[i]);
  }
  rhs(t + h, stage, k6);
  for (let i = 0; i < n; i++) {
    end[i] = y[i] + h * (A71 * k1[i] + A73 * k3[i] + A74 * k4[i] + A75 * k5[i] + A76 * k6[i]);
  }
  rhs(t + h, end, k7);
}

/** Root mean square over the components of (error of the step) / (absTol + relTol |y|); at most 1 is good. */
export function stepError(
  y: Float64Array,
  h: number,
  s: StepScratch,
  absTol: readonly number[],
  relTol: number,
): number {
  const k1 = s.k[0];
  const k3 = s.k[2];
  const k4 = s.k[3];
  const k5 = s.k[4];
  const k6 = s.k[5];
  const k7 = s.k[6];
  let sum = 0;
  for (let i = 0; i < y.length; i++) {
    const error =
      h * (E[0] * k1[i] + E[2] * k3[i] + E[3] * k4[i] + E[4] * k5[i] + E[5] * k6[i] + E[6] * k7[i]);
    const scale = absTol[i] + relTol * Math.max(Math.abs(y[i]), Math.abs(s.end[i]));
    sum += (error / scale) ** 2;
  }
  return Math.sqrt(sum / y.length);
}

/** The dense output of the step in `s`. */
export function denseStep(t0: number, y: Float64Array, h: number, s: StepScratch): DenseStep {
  const n = y.length;
  // not a typed array: thousands of small ones cost more than the steps
  const terms = new Array<number>(5 * n);
  const k1 = s.k[0];
  const k3 = s.k[2];
  const k4 = s.k[3];
  const k5 = s.k[4];
  const k6 = s.k[5];
  const k7 = s.k[6];
  for (let i = 0; i < n; i++) {
    const rise = s.end[i] - y[i];
    const bend = h * k1[i] - rise;
    terms[i] = y[i];
    terms[n + i] = rise;
    terms[2 * n + i] = bend;
    terms[3 * n + i] = rise - h * k7[i] - bend;
    terms[4 * n + i] =
      h * (D[0] * k1[i] + D[2] * k3[i] + D[3] * k4[i] + D[4] * k5[i] + D[5] * k6[i] + D[6] * k7[i]);
  }
  return { t0, h, terms, implicit: false };
}

/**
 * State at time t inside a step (order 4 between its ends).
 * @param y [n], where it is written; a fresh array by default
 */
export function denseAt(
  { t0, h, terms }: DenseStep,
  t: number,
  y: Float64Array = new Float64Array(terms.length / 5),
): Float64Array {
  const n = y.length;
  const x = (t - t0) / h;
  for (let i = 0; i < n; i++) {
    const inner = terms[2 * n + i] + x * (terms[3 * n + i] + (1 - x) * terms[4 * n + i]);
    y[i] = terms[i] + x * (terms[n + i] + (1 - x) * inner);
  }
  return y;
}

/** The explicit method as a stepper. A step that begins where the last one ended takes over its slope. */
export function explicitStepper({ rhs, relTol, absTol }: OdeSystem): Stepper {
  const n = absTol.length;
  const s = stepScratch(n);
  const from = new Float64Array(n);
  let [t0, size] = [Number.NaN, Number.NaN];
  return {
    end: s.end,
    endSlope: s.k[6],
    errorOrder: 4,
    attempt(t, y, h) {
      if (t === t0 + size && same(y, s.end)) s.k[0].set(s.k[6]);
      else if (t !== t0 || !same(y, from)) rhs(t, y, s.k[0]);
      [t0, size] = [t, h];
      from.set(y);
      step(rhs, t, y, h, s);
      return stepError(y, h, s, absTol, relTol);
    },
    dense: () => denseStep(t0, from, size, s),
  };
}

function same(a: Float64Array, b: Float64Array): boolean {
  for (let i = 0; i < a.length; i++) if (a[i] !== b[i]) return false;
  return true;
}
