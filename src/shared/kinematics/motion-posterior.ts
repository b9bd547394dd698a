import { STANDARD_GRAVITY } from "../quantity/gravity.ts";
import { backSubstitute, choleskyInPlace, forwardSubstitute } from "./cholesky.ts";
import type { MotionBasis } from "./motion-basis.ts";

/**
 * What the marks of one frame say of the pose (s, n, angle), as a quadratic form: with q the pose,
 * chi²(q) = constant - 2 eta . q + qᵀ Lambda q. s is along the launch direction (m), n across it, upwards (m), angle the pitch (rad).
 */
export interface PoseInformation {
  readonly timeS: number;
  /** Lambda: [ss, sn, sa, nn, na, aa]. */
  readonly lambda: readonly [number, number, number, number, number, number];
  readonly eta: readonly [number, number, number];
  readonly constant: number;
}

/** Precisions (noise-relative) of the smoothness priors: second differences of push knots, first differences of flight knots. */
export interface Smoothness {
  readonly push: readonly [s: number, n: number, angle: number];
  readonly flight: readonly [translation: number, angle: number];
  /** Precisions of the acceleration right after the start, which no smoothness reaches: along and across, and of the pitch. */
  readonly onset: readonly [translation: number, angle: number];
}

export interface MotionPosterior {
  readonly basis: MotionBasis;
  readonly smoothness: Smoothness;
  /** [3 * basis.size]: coefficients of s, then n, then angle. */
  readonly mean: Float64Array;
  /** Cholesky factor of the noise-relative precision, [3 size x 3 size]. */
  readonly factor: Float64Array;
  /** Estimated variance of the marks over their stated variance. */
  readonly noiseVariance: number;
  /** -2 log restricted likelihood, up to a constant that is the same for all candidates of one shot. */
  readonly score: number;
  /** Sum of squared residuals over stated variances. */
  readonly chi2: number;
}

// After release only gravity and the air act. Standard deviations of what the air may do, wide on purpose: lift and drag of up to
// about a weight, a pitching moment of a mis-set tail. They keep a push from being explained as flight. Common practice, no source.
const FLIGHT_LEVEL_SD = [10, 30] as const; // m/s², rad/s²

/** Everything about one shot's motion that does not depend on the candidate being tried. */
export interface MotionProblem {
  readonly poses: readonly PoseInformation[];
  /** Number of measured coordinates: twice the marks. */
  readonly coordinates: number;
  /** rad, launch direction above the horizontal: how gravity lies in (s, n). */
  readonly directionRad: number;
}

/** Normal equations of one basis: G, h and the constant, gravity after release taken out. */
export interface NormalEquations {
  readonly basis: MotionBasis;
  readonly gram: Float64Array;
  readonly moment: Float64Array;
  readonly constant: number;
}

/** Accumulates the normal equations of all frames on a basis. Cost: frames times size². */
export function normalEquations(problem: MotionProblem, basis: MotionBasis): NormalEquations {
  const k = basis.size;
  const n = 3 * k;
  const gram = new Float64Array(n * n);
  const moment = new Float64Array(n);
  let constant = 0;
  const gravityS = -STANDARD_GRAVITY * Math.sin(problem.directionRad);
  const gravityN = -STANDARD_GRAVITY * Math.cos(problem.directionRad);
  for (const pose of problem.poses) {
    const row = basis.row(pose.timeS, 0);
    const [ss, sn, sa, nn, na, aa] = pose.lambda;
    const flown = Math.max(0, pose.timeS - basis.releaseS);
    const fallS = (gravityS * flown * flown) / 2;
    const fallN = (gravityN * flown * flown) / 2;
    const es = pose.eta[0] - ss * fallS - sn * fallN;
    const en = pose.eta[1] - sn * fallS - nn * fallN;
    const ea = pose.eta[2] - sa * fallS - na * fallN;
    constant +=
      pose.constant -
      2 * (pose.eta[0] * fallS + pose.eta[1] * fallN) +
      ss * fallS * fallS +
      2 * sn * fallS * fallN +
      nn * fallN * fallN;
    let extent = k;
    while (extent > 0 && row[extent - 1] === 0) extent--;
    for (let i = 0; i < extent; i++) {
      const bi = row[i] as number;
      if (bi === 0) continue;
      moment[i] = (moment[i] as number) + bi * es;
      moment[k + i] = (moment[k + i] as number) + bi * en;
      moment[2 * k + i] = (moment[2 * k + i] as number) + bi * ea;
      const rowS = i * n;
      const rowN = (k + i) * n;
      const rowA = (2 * k + i) * n;
      for (let j = 0; j < extent; j++) {
        const product = bi * (row[j] as number);
        if (j <= i) {
          gram[rowS + j] = (gram[rowS + j] as number) + product * ss;
          gram[rowN + k + j] = (gram[rowN + k + j] as number) + product * nn;
          gram[rowA + 2 * k + j] = (gram[rowA + 2 * k + j] as number) + product * aa;
        }
        gram[rowN + j] = (gram[rowN + j] as number) + product * sn;
        gram[rowA + j] = (gram[rowA + j] as number) + product * sa;
        gram[rowA + k + j] = (gram[rowA + k + j] as number) + product * na;
      }
    }
  }
  return { basis, gram, moment, constant };
}

/** The smoothness rows of one coordinate: positions in the full vector and weights of each difference. */
interface Difference {
  readonly at: number;
  readonly weights: readonly number[];
}

function differences(basis: MotionBasis, coordinate: number, phase: "push" | "flight"): Difference[] {
  const { first, count } = basis[phase];
  const weights = phase === "push" ? [1, -2, 1] : [-1, 1];
  return Array.from({ length: Math.max(0, count - weights.length + 1) }, (_, i) => ({
    at: coordinate * basis.size + first + i,
    weights,
  }));
}

function addPenalty(a: Float64Array, n: number, rows: readonly Difference[], precision: number): void {
  for (const { at, weights } of rows) {
    weights.forEach((wi, i) => {
      weights.slice(0, i + 1).forEach((wj, j) => {
        const index = (at + i) * n + at + j;
        a[index] = (a[index] as number) + precision * wi * wj;
      });
    });
  }
}

/** The penalised blocks: which rows share which precision. */
function blocks(basis: MotionBasis, smoothness: Smoothness) {
  return [
    ...smoothness.push.map((precision, c) => ({ precision, rows: differences(basis, c, "push") })),
    {
      precision: smoothness.flight[0],
      rows: [...differences(basis, 0, "flight"), ...differences(basis, 1, "flight")],
    },
    { precision: smoothness.flight[1], rows: differences(basis, 2, "flight") },
  ];
}

/**
 * Posterior of the motion for given release, start and smoothness: the penalised least-squares fit with its covariance and its
 * restricted likelihood. Source: Patterson & Thompson, Biometrika 58:545 (1971) (REML); Wood, Generalized Additive Models,
 * 2nd ed. (2017), 6.2 (smoothness as a random effect).
 * @returns null when the marks do not determine the motion (the factorisation fails)
 */
export function motionPosterior(
  problem: MotionProblem,
  equations: NormalEquations,
  smoothness: Smoothness,
): MotionPosterior | null {
  const { basis, gram, moment, constant } = equations;
  const n = 3 * basis.size;
  const factor = gram.slice();
  let logPrior = 0;
  for (const { precision, rows } of blocks(basis, smoothness)) {
    addPenalty(factor, n, rows, precision);
    logPrior += rows.length * Math.log(precision);
  }
  for (let c = 0; c < 3; c++) {
    const onset = smoothness.onset[c === 2 ? 1 : 0] as number;
    const first = (c * basis.size + basis.push.first) * (n + 1);
    factor[first] = (factor[first] as number) + onset;
    logPrior += Math.log(onset);
    const precision = 1 / ((FLIGHT_LEVEL_SD[c === 2 ? 1 : 0] as number) ** 2 * basis.flight.count);
    for (let i = 0; i < basis.flight.count; i++) {
      const at = c * basis.size + basis.flight.first + i;
      factor[at * n + at] = (factor[at * n + at] as number) + precision;
    }
  }
  const logDet = choleskyInPlace(factor, n);
  if (logDet === null) return null;
  const half = forwardSubstitute(factor, n, moment);
  const mean = backSubstitute(factor, n, half);
  let explained = 0;
  for (const z of half) explained += z * z;
  const deviance = constant - explained;
  const free = problem.coordinates - 3 * (basis.push.first + 1); // offsets and the slope of the push have no prior
  if (!(deviance > 0) || free < 1) return null;
  return {
    basis,
    smoothness,
    mean,
    factor,
    noiseVariance: deviance / free,
    score: free * Math.log(deviance) + logDet - logPrior,
    chi2: chiSquared(equations, mean),
  };
}

function chiSquared({ gram, moment, constant }: NormalEquations, mean: Float64Array): number {
  const n = mean.length;
  let chi2 = constant;
  for (let i = 0; i < n; i++) {
    const mi = mean[i] as number;
    let lower = 0;
    for (let j = 0; j < i; j++) lower += (gram[i * n + j] as number) * (mean[j] as number);
    chi2 += mi * (2 * lower + (gram[i * n + i] as number) * mi - 2 * (moment[i] as number));
  }
  return chi2;
}

/**
 * One step of the smoothness towards the maximum of the restricted likelihood: lambda <- noise (r - lambda tr(A⁻¹S)) / bᵀSb.
 * Source: Wood & Fasiolo, Biometrics 73:1071 (2017) (generalised Fellner-Schall).
 * @param least,most bounds of each precision, same order as Smoothness
 */
export function improvedSmoothness(
  posterior: MotionPosterior,
  least: Smoothness,
  most: Smoothness,
): Smoothness {
  const { basis, factor, mean, noiseVariance } = posterior;
  const n = mean.length;
  const improved = blocks(basis, posterior.smoothness).map(({ precision, rows }) => {
    let trace = 0;
    let roughness = 0;
    for (const { at, weights } of rows) {
      let difference = 0;
      const unit = new Float64Array(n);
      weights.forEach((w, i) => {
        unit[at + i] = w;
        difference += w * (mean[at + i] as number);
      });
      roughness += difference * difference;
      for (const z of forwardSubstitute(factor, n, unit)) trace += z * z;
    }
    const freedom = Math.max(rows.length - precision * trace, 1e-9 * rows.length);
    return (noiseVariance * freedom) / Math.max(roughness, 1e-300);
  });
  const bounded = (i: number, low: number, high: number) =>
    Math.min(Math.max(improved[i] as number, low), high);
  return {
    onset: posterior.smoothness.onset,
    push: [
      bounded(0, least.push[0], most.push[0]),
      bounded(1, least.push[1], most.push[1]),
      bounded(2, least.push[2], most.push[2]),
    ],
    flight: [bounded(3, least.flight[0], most.flight[0]), bounded(4, least.flight[1], most.flight[1])],
  };
}
