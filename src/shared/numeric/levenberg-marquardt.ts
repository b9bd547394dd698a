import { differenceJacobian } from "./difference-jacobian.ts";
import { inverseGram, scaledCondition, solveUpper, triangularise } from "./householder.ts";
import { spend } from "./work-budget.ts";

/**
 * A least-squares problem: residuals already divided by their standard uncertainties, so
 * that each has unit variance.
 */
export interface FitProblem {
  /** Number of residuals, m >= number of parameters. */
  readonly count: number;
  /** [n], where to start. */
  readonly start: ArrayLike<number>;
  /**
   * Writes r(p) into out [m]. A value that is not finite marks a place where the model cannot go;
   * the step is then shortened.
   */
  residuals(p: Float64Array, out: Float64Array): void;
  /** Writes dr/dp into out [m*n], row by row (zeroed beforehand); left out, central differences are taken. */
  jacobian?(p: Float64Array, out: Float64Array): void;
  /**
   * [n], a typical size of each parameter, > 0: sets the steps of the differences and
   * when a step counts as small.
   */
  readonly typical: ArrayLike<number>;
  /**
   * Reduction of the sum of squares, in units of the residuals' variance where that is above 1, below which a
   * further step is not worth taking; as good as the rounding allows unless told.
   */
  readonly enough?: number;
  /**
   * Damping of the first step, of unit column norms; 1e-3 unless told. Less where the
   * start is known to be good.
   */
  readonly firstDamping?: number;
  /** Most steps tried; 200 unless told. */
  readonly mostSteps?: number;
}

export interface Fit {
  /** [n] */
  readonly parameters: Float64Array;
  /** [m], at the parameters. */
  readonly residuals: Float64Array;
  readonly sumOfSquares: number;
  /** m - n */
  readonly degreesOfFreedom: number;
  /** True when the linear model at the parameters promises no reduction that matters (see `promised`). */
  readonly converged: boolean;
  readonly end: "settled" | "small-step" | "no-reduction" | "too-many-steps" | "not-finite";
  /**
   * Reduction of the sum of squares that a Gauss-Newton step would still promise; 1 is
   * one standard uncertainty.
   */
  readonly promised: number;
  readonly steps: number;
  /** Scaled condition of the Jacobian: Infinity when a combination of parameters has no effect. */
  readonly condition: number;
  /** (JᵀJ)⁻¹ [n*n]; null when the condition says that the parameters are not identifiable. */
  readonly covariance: Float64Array | null;
}

// relative to the typical size or the parameter itself: at the rounding of the residuals
const SMALL_STEP = 1e-13;
const PROMISE_LIMIT = 1e-8; // a step of 1e-4 standard uncertainties: good enough to be called converged
const SETTLED = 1e-24; // a step of 1e-12 standard uncertainties: nothing is gained by going on
const CONDITION_LIMIT = 1e10;
const ROUNDING = 2.220446049250313e-16;
const FIRST_DAMPING = 1e-3;
// work of one product in the factorisation: a nanosecond, where an evaluation is a microsecond
const EVALUATIONS_EACH = 1e-3;
const LEAST_DAMPING = 1e-24;
const MOST_STEPS = 200;
const PROBE = 0.1; // of the step, where its bend is looked at (Transtrum & Sethna)
const BEND_FROM = 1e-6; // least promised reduction, of the sum of squares, for which a step is bent
// most bend, of the step: half of Transtrum & Sethna's 0.75, since the bend here is half their acceleration
const BEND_LIMIT = 0.375;

/**
 * Nonlinear least squares by damped Gauss-Newton steps, min |J s + r|² + damping |D s|², each solved by
 * Householder QR of [R; sqrt(damping) D]; D holds the column norms of J, so that units of parameters do not
 * matter. Each step is bent by half the second derivative along it, so that narrow curved valleys are
 * followed instead of crept along; a step that would bend more than it goes is shortened.
 * Source: Marquardt, J. SIAM 11:431 (1963) for the scaling; Madsen, Nielsen & Tingleff, Methods for
 * Non-Linear Least Squares Problems, 2nd ed. (2004), 3.2 for the damping; Transtrum & Sethna,
 * arXiv:1201.5885 (2012) for the bend.
 * @returns the fit and how it ended; a fit that did not converge is returned with
 *   converged = false, never thrown
 * @throws RangeError when there are fewer residuals than parameters or sizes do not match
 */
export function levenbergMarquardt(problem: FitProblem): Fit {
  const n = problem.start.length;
  const m = problem.count;
  if (m < n || n === 0 || problem.typical.length !== n) {
    throw new RangeError(
      `levenbergMarquardt: need m >= n > 0 and n typical sizes; got ${m}, ${n}, ${problem.typical.length}`,
    );
  }
  let p: Float64Array = Float64Array.from(problem.start);
  let r: Float64Array = new Float64Array(m);
  problem.residuals(p, r);
  let sum = squared(r);
  const columns = new Float64Array(n);
  let factored = factorAt(problem, p, r, columns);
  let damping = problem.firstDamping ?? FIRST_DAMPING;
  let growth = 2;
  let steps = 0;
  let end: Fit["end"] | null = Number.isFinite(sum) && factored.finite ? null : "not-finite";
  while (end === null) {
    end = endBefore(problem, steps, sum, factored);
    if (end !== null) break;
    steps++;
    spend(Math.ceil(m * n * n * EVALUATIONS_EACH));
    const tried = tryStep(problem, { p, r, sum }, factored, damping, columns);
    if (tried.gain > 0) {
      ({ p, r, sum } = tried);
      factored = factorAt(problem, p, r, columns);
      damping = Math.max(
        LEAST_DAMPING,
        damping * Math.max(1 / 3, 1 - (2 * Math.min(tried.gain, 2) - 1) ** 3),
      );
      growth = 2;
      end = factored.finite ? null : "not-finite";
    } else {
      damping *= growth;
      growth *= 2;
      end = tried.promised <= ROUNDING * sum ? "no-reduction" : null;
    }
    if (tried.small && end !== "not-finite") end = "small-step";
  }
  return fitOf(problem, { p, r, sum }, factored, steps, end);
}

/** Why no further step is due; null where one is. */
function endBefore(problem: FitProblem, steps: number, sum: number, { c }: Factored): Fit["end"] | null {
  const n = problem.start.length;
  if (steps >= (problem.mostSteps ?? MOST_STEPS)) return "too-many-steps";
  const enough = (problem.enough ?? SETTLED) * Math.max(1, sum / Math.max(1, problem.count - n));
  return squared(c.subarray(0, n)) <= enough ? "settled" : null;
}

function fitOf(
  problem: FitProblem,
  { p, r, sum }: Place,
  factored: Factored,
  steps: number,
  end: Fit["end"],
): Fit {
  const n = p.length;
  const m = problem.count;
  const promised = squared(factored.c.subarray(0, n));
  const condition = factored.finite ? scaledCondition(factored.r, n) : Infinity;
  return {
    parameters: p,
    residuals: r,
    sumOfSquares: sum,
    degreesOfFreedom: m - n,
    converged:
      end !== "not-finite" &&
      condition < CONDITION_LIMIT &&
      promised <= Math.max(PROMISE_LIMIT, problem.enough ?? 0) * Math.max(1, sum / Math.max(1, m - n)),
    end,
    promised,
    steps,
    condition,
    covariance: condition < CONDITION_LIMIT ? inverseGram(factored.r, n) : null,
  };
}

/** Parameters with their residuals and the sum of squares of these. */
interface Place {
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

/** Where the damped and bent step from a place leads. */
function tryStep(
  problem: FitProblem,
  { p, r, sum }: Place,
  factored: Factored,
  damping: number,
  columns: Float64Array,
): TriedStep {
  const n = p.length;
  const damped = dampedStep(factored, n, damping, columns);
  const promised = promisedBy(factored, n, damped.step, damping, columns);
  // Near the end the bend would be rounding, and is not needed.
  const bend = promised > BEND_FROM * sum ? bendOf(problem, p, r, factored, damped) : new Float64Array(n);
  const bends = BEND_LIMIT * scaledNorm(damped.step, columns) < scaledNorm(bend, columns);
  const step = damped.step.map((value, j) => value + (bends ? 0 : bend[j]));
  const next = p.map((value, j) => value + step[j]);
  const small = step.every(
    (s, j) => Math.abs(s) <= SMALL_STEP * Math.max(Math.abs(p[j]), problem.typical[j]),
  );
  const nextR = new Float64Array(problem.count);
  problem.residuals(next, nextR);
  const nextSum = squared(nextR);
  const gain = Number.isFinite(nextSum) && !bends ? (sum - nextSum) / promised : -1;
  return { p: next, r: nextR, sum: nextSum, gain, promised, small };
}

interface Factored {
  /** The Jacobian. */
  readonly j: Float64Array;
  /** R in the first n rows. */
  readonly r: Float64Array;
  /** Qᵀ r(p) */
  readonly c: Float64Array;
  readonly finite: boolean;
}

/** QR of the Jacobian at p; sets `columns` to its column norms. */
function factorAt(problem: FitProblem, p: Float64Array, r: Float64Array, columns: Float64Array): Factored {
  const n = p.length;
  const m = problem.count;
  const j = new Float64Array(m * n);
  if (problem.jacobian) problem.jacobian(p, j);
  else differenceJacobian((at, out) => problem.residuals(at, out), problem.typical, p, r, j);
  const finite = j.every(Number.isFinite) && r.every(Number.isFinite);
  for (let k = 0; k < n; k++) {
    let norm = 0;
    for (let i = 0; i < m; i++) norm += j[i * n + k] ** 2;
    columns[k] = Math.sqrt(norm);
  }
  const c = r.slice();
  const triangle = j.slice();
  if (finite) triangularise(triangle, m, n, c);
  return { j, r: triangle, c, finite };
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

function squared(x: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < x.length; i++) sum += x[i] * x[i];
  return sum;
}
