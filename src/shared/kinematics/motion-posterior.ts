import { backSubstitute, choleskyInPlace, forwardSubstitute } from "../numeric/cholesky.ts";
import { STANDARD_GRAVITY } from "../quantity/gravity.ts";
import type { MotionBasis } from "./motion-basis.ts";

/**
 * What the marks of one frame say of the pose (s, n, angle), as a quadratic form: with q the pose,
 * chi²(q) = constant - 2 eta . q + qᵀ Lambda q. s is along the launch direction (m), n across it, upwards (m), angle the pitch (rad).
 */
export interface PoseInformation {
  readonly timeS: number;
  /** Lambda = [[weight, 0, alongArm], [0, weight, acrossArm], [alongArm, acrossArm, turning]]. */
  readonly weight: number;
  readonly alongArm: number;
  readonly acrossArm: number;
  readonly turning: number;
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

/**
 * Accumulates the normal equations of all frames on a basis. Cost: frames times size². Marks are as uncertain along as across, so
 * the s and n blocks are equal and have no cross term; and because all coordinates share the basis, each cross block is
 * itself symmetric: four triangles hold everything.
 */
export function normalEquations(problem: MotionProblem, basis: MotionBasis): NormalEquations {
  const k = basis.size;
  const triangles = [0, 1, 2, 3].map(() => new Float64Array(k * k));
  const [along, alongPitch, acrossPitch, pitch] = triangles as [
    Float64Array,
    Float64Array,
    Float64Array,
    Float64Array,
  ];
  const moment = new Float64Array(3 * k);
  let constant = 0;
  const gravityS = -STANDARD_GRAVITY * Math.sin(problem.directionRad);
  const gravityN = -STANDARD_GRAVITY * Math.cos(problem.directionRad);
  for (const pose of problem.poses) {
    const row = basis.row(pose.timeS, 0);
    const { weight, alongArm, acrossArm, turning } = pose;
    const flown = Math.max(0, pose.timeS - basis.releaseS);
    const fallS = (gravityS * flown * flown) / 2;
    const fallN = (gravityN * flown * flown) / 2;
    const es = pose.eta[0] - weight * fallS;
    const en = pose.eta[1] - weight * fallN;
    const ea = pose.eta[2] - alongArm * fallS - acrossArm * fallN;
    constant +=
      pose.constant -
      2 * (pose.eta[0] * fallS + pose.eta[1] * fallN) +
      weight * (fallS * fallS + fallN * fallN);
    let extent = k;
    while (extent > 0 && row[extent - 1] === 0) extent--;
    for (let i = 0; i < extent; i++) {
      const bi = row[i] as number;
      if (bi === 0) continue;
      moment[i] = (moment[i] as number) + bi * es;
      moment[k + i] = (moment[k + i] as number) + bi * en;
      moment[2 * k + i] = (moment[2 * k + i] as number) + bi * ea;
      const at = i * k;
      for (let j = 0; j <= i; j++) {
        const product = bi * (row[j] as number);
        along[at + j] = (along[at + j] as number) + product * weight;
        alongPitch[at + j] = (alongPitch[at + j] as number) + product * alongArm;
        acrossPitch[at + j] = (acrossPitch[at + j] as number) + product * acrossArm;
        pitch[at + j] = (pitch[at + j] as number) + product * turning;
      }
    }
  }
  return { basis, gram: assembled(k, along, alongPitch, acrossPitch, pitch), moment, constant };
}

/** Lower triangle of the full Gram matrix [3k x 3k] from the four triangles. */
function assembled(
  k: number,
  along: Float64Array,
  alongPitch: Float64Array,
  acrossPitch: Float64Array,
  pitch: Float64Array,
): Float64Array {
  const n = 3 * k;
  const gram = new Float64Array(n * n);
  for (let i = 0; i < k; i++) {
    for (let j = 0; j <= i; j++) {
      const from = i * k + j;
      gram[i * n + j] = along[from] as number;
      gram[(k + i) * n + k + j] = along[from] as number;
      gram[(2 * k + i) * n + 2 * k + j] = pitch[from] as number;
      gram[(2 * k + i) * n + j] = alongPitch[from] as number;
      gram[(2 * k + j) * n + i] = alongPitch[from] as number;
      gram[(2 * k + i) * n + k + j] = acrossPitch[from] as number;
      gram[(2 * k + j) * n + k + i] = acrossPitch[from] as number;
    }
  }
  return gram;
}

/** A run of coefficients whose differences of second order (push) or first order (flight) are held small. */
interface Run {
  readonly first: number;
  readonly rows: number;
  readonly weights: readonly number[];
}

const SECOND_DIFFERENCE = [1, -2, 1];
const FIRST_DIFFERENCE = [-1, 1];

function run(basis: MotionBasis, coordinate: number, phase: "push" | "flight"): Run {
  const { first, count } = basis[phase];
  const weights = phase === "push" ? SECOND_DIFFERENCE : FIRST_DIFFERENCE;
  return { first: coordinate * basis.size + first, rows: Math.max(0, count - weights.length + 1), weights };
}

/** The penalised runs, and which share one precision. */
function blocks(
  basis: MotionBasis,
  smoothness: Smoothness,
): readonly { precision: number; runs: readonly Run[] }[] {
  const [s, n, pitch] = smoothness.push;
  return [
    { precision: s, runs: [run(basis, 0, "push")] },
    { precision: n, runs: [run(basis, 1, "push")] },
    { precision: pitch, runs: [run(basis, 2, "push")] },
    { precision: smoothness.flight[0], runs: [run(basis, 0, "flight"), run(basis, 1, "flight")] },
    { precision: smoothness.flight[1], runs: [run(basis, 2, "flight")] },
  ];
}

function addPenalty(a: Float64Array, n: number, { first, rows, weights }: Run, precision: number): void {
  for (let row = 0; row < rows; row++) {
    for (let i = 0; i < weights.length; i++) {
      for (let j = 0; j <= i; j++) {
        const index = (first + row + i) * n + first + row + j;
        a[index] = (a[index] as number) + precision * (weights[i] as number) * (weights[j] as number);
      }
    }
  }
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
  for (const { precision, runs } of blocks(basis, smoothness)) {
    for (const one of runs) {
      addPenalty(factor, n, one, precision);
      logPrior += one.rows * Math.log(precision);
    }
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
  };
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
  const improved = blocks(basis, posterior.smoothness).map(({ precision, runs }) => {
    let [trace, roughness, count] = [0, 0, 0];
    for (const { first, rows, weights } of runs) {
      count += rows;
      for (let row = 0; row < rows; row++) {
        let difference = 0;
        const unit = new Float64Array(n);
        weights.forEach((w, i) => {
          unit[first + row + i] = w;
          difference += w * (mean[first + row + i] as number);
        });
        roughness += difference * difference;
        for (const z of forwardSubstitute(factor, n, unit, first + row)) trace += z * z;
      }
    }
    const freedom = Math.max(count - precision * trace, 1e-9 * count);
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
