import type { FitProblem } from "./fit-problem.ts";
import { solveUpper, triangularise } from "./householder.ts";

// relative to the typical size or the parameter itself: at the rounding of the residuals
const SMALL_STEP = 1e-13;
const PROBE = 0.1; // of the step, where its bend is looked at (Transtrum & Sethna)
const BEND_FROM = 1e-6; // least promised reduction, of the sum of squares, for which a step is bent
// most bend, of the step: half of Transtrum & Sethna's 0.75, since the bend here is half their acceleration
const BEND_LIMIT = 0.375;
const CORRECTS = 0.1; // of what is enough: a correction that changes the sum by less is the last
const SHORT_OF = 0.75; // of what is promised: a step that gains less is tried shorter

/** Parameters with their residuals and the sum of squares of these. */
export interface Place {
  readonly p: Float64Array;
  readonly r: Float64Array;
  readonly sum: number;
}

interface TriedStep extends Place {
  /** The reduction over the promised one; -1 where the step cannot be taken. */
  readonly gain: number;
  readonly promised: number;
  /** Whether no parameter moves by more than rounding. */
  readonly small: boolean;
}

/**
 * Where the damped step from a place leads: bent by half the second derivative along it, or corrected where
 * the problem asks for that.
 */
export function tryStep(
  problem: FitProblem,
  from: Place,
  factored: Factored,
  damping: number,
  columns: Float64Array,
): TriedStep {
  const { p, sum } = from;
  const damped = dampedStep(factored, p.length, damping, columns);
  const promised = promisedBy(factored, p.length, damped.step, damping, columns);
  const to =
    (problem.corrections ?? 0) > 0
      ? corrected(problem, from, factored, damped, damping, columns)
      : bent(problem, from, factored, damped, promised, columns);
  const small = p.every(
    (at, j) => Math.abs(to.p[j] - at) <= SMALL_STEP * Math.max(Math.abs(at), problem.typical[j]),
  );
  const gain = Number.isFinite(to.sum) ? (sum - to.sum) / promised : -1;
  return { ...to, gain, promised, small };
}

/** The bent step; a sum that is not finite where it would bend more than it goes. */
function bent(
  problem: FitProblem,
  { p, r, sum }: Place,
  factored: Factored,
  damped: Damped,
  promised: number,
  columns: Float64Array,
): Place {
  // Near the end the bend would be rounding, and is not needed.
  const bend =
    promised > BEND_FROM * sum ? bendOf(problem, p, r, factored, damped) : new Float64Array(p.length);
  const bends = BEND_LIMIT * scaledNorm(damped.step, columns) < scaledNorm(bend, columns);
  const to = placeAt(
    problem,
    p.map((value, j) => value + (damped.step[j] + (bends ? 0 : bend[j]))),
  );
  return bends ? { ...to, sum: Number.NaN } : to;
}

/**
 * The best of the damped step and what comes of correcting it again and again by the residuals where it led,
 * with the Jacobian J of its start: s' = s - (JᵀJ + λ D²)⁻¹ (Jᵀ r(p + s) + λ D² s), which stops where the
 * damped sum has no slope by that J. In a narrow curved valley this follows the curve to every order, where
 * a bend does to the second. (A chord method: Ortega & Rheinboldt, Iterative Solution of Nonlinear Equations
 * in Several Variables (1970), 7.1.) Where residuals bend that do not vanish, all steps may go too far along
 * the valley by as much, to and fro: one that gains much less than J promises is tried shorter, at the least
 * of the parabola through its sum, the one before and its slope.
 */
function corrected(
  problem: FitProblem,
  from: Place,
  factored: Factored,
  damped: Damped,
  damping: number,
  columns: Float64Array,
): Place {
  const best = lastCorrected(problem, from, factored, damped, damping, columns);
  const fall = slopeAlong(factored, damped.step);
  const gained = from.sum - best.sum;
  // Without a bend the sum would fall by half of what its slope at the start says.
  if (!Number.isFinite(best.sum) || gained > (SHORT_OF * fall) / 2) return best;
  const part = fall / (2 * (fall - gained));
  const shorter = placeAt(
    problem,
    // along the damped step at first, and through the corrected place
    from.p.map((value, k) => {
      const bend = best.p[k] - value - damped.step[k];
      return value + part * damped.step[k] + part * part * bend;
    }),
  );
  return shorter.sum < best.sum ? shorter : best;
}

function lastCorrected(
  problem: FitProblem,
  { p }: Place,
  { j }: Factored,
  { step, triangle }: Damped,
  damping: number,
  columns: Float64Array,
): Place {
  const n = p.length;
  let at: Float64Array = Float64Array.from(step);
  let best: Place | null = null;
  let lastSum = Infinity;
  for (let left = problem.corrections ?? 0; ; left--) {
    const to = placeAt(
      problem,
      p.map((value, k) => value + at[k]),
    );
    if (best === null || to.sum < best.sum) best = to;
    const stands = Math.abs(lastSum - to.sum) <= CORRECTS * (problem.enough ?? 0);
    if (left === 0 || stands || !Number.isFinite(to.sum)) return best;
    lastSum = to.sum;
    const slope = new Float64Array(n);
    for (let i = 0; i < problem.count; i++) {
      for (let k = 0; k < n; k++) slope[k] += j[i * n + k] * to.r[i];
    }
    for (let k = 0; k < n; k++) slope[k] += damping * (columns[k] > 0 ? columns[k] : 1) ** 2 * at[k];
    const back = solveUpper(triangle, n, solveLower(triangle, n, slope));
    at = at.map((value, k) => value - back[k]);
  }
}

/** By how much the sum of squares falls along a step while its slope at the start lasts: -2 rᵀJs. */
function slopeAlong({ r, c }: Factored, step: Float64Array): number {
  const n = step.length;
  let sum = 0;
  for (let i = 0; i < n; i++) {
    let row = 0;
    for (let k = i; k < n; k++) row += r[i * n + k] * step[k];
    sum -= 2 * c[i] * row;
  }
  return sum;
}

function placeAt(problem: FitProblem, p: Float64Array): Place {
  const r = new Float64Array(problem.count);
  problem.residuals(p, r);
  return { p, r, sum: squared(r) };
}

export interface Factored {
  /** The Jacobian. */
  readonly j: Float64Array;
  /** R in the first n rows. */
  readonly r: Float64Array;
  /** Qᵀ r(p) */
  readonly c: Float64Array;
  readonly finite: boolean;
}

interface Damped {
  readonly step: Float64Array;
  /** The triangle of [R; sqrt(damping) D] in its first n rows. */
  readonly triangle: Float64Array;
}

/** Solves [R; sqrt(damping) D] s = -[c; 0]. */
function dampedStep({ r, c }: Factored, n: number, damping: number, columns: Float64Array): Damped {
  const a = new Float64Array(2 * n * n);
  a.set(r.subarray(0, n * n));
  const b = new Float64Array(2 * n);
  for (let k = 0; k < n; k++) {
    b[k] = -c[k];
    a[(n + k) * n + k] = Math.sqrt(damping) * (columns[k] > 0 ? columns[k] : 1);
  }
  triangularise(a, 2 * n, n, b);
  return { step: solveUpper(a, n, b), triangle: a };
}

/**
 * Half the second-order correction of a step: -½ (JᵀJ + damping D²)⁻¹ Jᵀ r'' with r'' the second derivative
 * of the residuals along the step, by one more evaluation: r'' = (2/h) ((r(p + h s) - r)/h - J s). Zero where
 * the model cannot go there.
 */
function bendOf(
  problem: FitProblem,
  p: Float64Array,
  r: Float64Array,
  { j }: Factored,
  { step, triangle }: Damped,
): Float64Array {
  const n = p.length;
  const m = problem.count;
  const ahead = new Float64Array(m);
  problem.residuals(
    p.map((value, k) => value + PROBE * step[k]),
    ahead,
  );
  const moment = new Float64Array(n);
  for (let i = 0; i < m; i++) {
    let along = 0;
    for (let k = 0; k < n; k++) along += j[i * n + k] * step[k];
    const second = (2 / PROBE) * ((ahead[i] - r[i]) / PROBE - along);
    for (let k = 0; k < n; k++) moment[k] -= (j[i * n + k] * second) / 2;
  }
  const bend = solveUpper(triangle, n, solveLower(triangle, n, moment));
  return bend.every(Number.isFinite) ? bend : new Float64Array(n);
}

/** Solves Rᵀ x = b for the upper triangle R in the first n rows. */
function solveLower(r: Float64Array, n: number, b: Float64Array): Float64Array {
  const x = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    let sum = b[i];
    for (let k = 0; k < i; k++) sum -= r[k * n + i] * x[k];
    x[i] = sum / r[i * n + i];
  }
  return x;
}

function scaledNorm(step: Float64Array, columns: Float64Array): number {
  let sum = 0;
  for (let k = 0; k < step.length; k++) sum += (columns[k] * step[k]) ** 2;
  return Math.sqrt(sum);
}

/** |r|² - |r + J s|² for a damped step s: |R s|² + 2 damping |D s|². */
function promisedBy(
  { r }: Factored,
  n: number,
  step: Float64Array,
  damping: number,
  columns: Float64Array,
): number {
  let sum = 0;
  for (let i = 0; i < n; i++) {
    let row = 0;
    for (let j = i; j < n; j++) row += r[i * n + j] * step[j];
    sum += row * row + 2 * damping * ((columns[i] > 0 ? columns[i] : 1) * step[i]) ** 2;
  }
  return sum;
}

export function squared(x: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < x.length; i++) sum += x[i] * x[i];
  return sum;
}
