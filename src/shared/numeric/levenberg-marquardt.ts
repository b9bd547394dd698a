import { type Factored, type Place, squared, tryStep } from "./damped-step.ts";
import { differenceJacobian } from "./difference-jacobian.ts";
import type { FitProblem } from "./fit-problem.ts";
import { inverseGram, scaledCondition, triangularise } from "./householder.ts";
import { spend } from "./work-budget.ts";

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
  readonly end: "settled" | "small-step" | "no-reduction" | "too-many-steps" | "not-finite" | "left";
  /**
   * Reduction of the sum of squares that a Gauss-Newton step would still promise; 1 is
   * one standard uncertainty. NaN where the fit was left.
   */
  readonly promised: number;
  readonly steps: number;
  /** Scaled condition of the Jacobian: Infinity when a combination of parameters has no effect. */
  readonly condition: number;
  /** (JᵀJ)⁻¹ [n*n]; null when the condition says that the parameters are not identifiable. */
  readonly covariance: Float64Array | null;
}

const PROMISE_LIMIT = 1e-8; // a step of 1e-4 standard uncertainties: good enough to be called converged
const SETTLED = 1e-24; // a step of 1e-12 standard uncertainties: nothing is gained by going on
const CONDITION_LIMIT = 1e10;
const ROUNDING = 2.220446049250313e-16;
const FIRST_DAMPING = 1e-3;
// work of one product in the factorisation: a nanosecond, where an evaluation is a microsecond
const EVALUATIONS_EACH = 1e-3;
const LEAST_DAMPING = 1e-24;
const MOST_STEPS = 200;

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
      if (problem.leaves?.(p, sum, steps)) return leftAt(tried, steps);
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

/** A fit that ended where its problem leaves it, with no Jacobian taken there. */
function leftAt({ p, r, sum }: Place, steps: number): Fit {
  return {
    parameters: p,
    residuals: r,
    sumOfSquares: sum,
    degreesOfFreedom: r.length - p.length,
    converged: false,
    end: "left",
    promised: Number.NaN,
    steps,
    condition: Number.NaN,
    covariance: null,
  };
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
