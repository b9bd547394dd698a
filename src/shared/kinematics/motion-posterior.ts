import { backSubstitute, choleskyInPlace, forwardSubstitute } from "../numeric/cholesky.ts";
import { sumOfInverseForms } from "../numeric/inverse-forms.ts";
import type { Measured } from "../quantity/measured.ts";
import type { MotionBasis } from "./motion-basis.ts";
import type { MotionProblem, NormalEquations } from "./normal-equations.ts";
import { addPrior, heldRows, type Smoothness } from "./smoothness-prior.ts";

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

/**
 * Posterior of the motion for given release, start and smoothness: the penalised least-squares fit with its
 * covariance and its restricted likelihood. Source: Patterson & Thompson, Biometrika 58:545 (1971) (REML);
 * Wood, Generalized Additive Models, 2nd ed. (2017), 6.2 (smoothness as a random effect).
 * @param factor [9 size²], where the factor is to be left: the equations' own Gram matrix, which is then
 *   gone, or room for it that is used again
 * @returns null when the marks do not determine the motion (the factorisation fails)
 */
export function motionPosterior(
  problem: MotionProblem,
  equations: NormalEquations,
  smoothness: Smoothness,
  factor: Float64Array,
): MotionPosterior | null {
  const { basis, gram } = equations;
  const n = 3 * basis.size;
  if (factor !== gram) factor.set(gram);
  const prior = addPrior(factor, basis, smoothness, problem.directionRad);
  const moment = prior.moment;
  for (let i = 0; i < n; i++) moment[i] = moment[i] + equations.moment[i];
  const logDet = choleskyInPlace(factor, n);
  if (logDet === null) return null;
  const half = forwardSubstitute(factor, n, moment);
  const mean = backSubstitute(factor, n, half);
  let explained = 0;
  for (const z of half) explained += z * z;
  const deviance = equations.constant + prior.constant - explained;
  const free = problem.coordinates - 3 * basis.push.first; // where the motion begins has no prior
  if (!(deviance > 0) || free < 1) return null;
  return {
    basis,
    smoothness,
    mean,
    factor,
    noiseVariance: deviance / free,
    score: free * Math.log(deviance) + logDet - prior.logPrior,
  };
}

/**
 * A linear combination of the coefficients, [3 * basis.size] weights, with what the marks leave open of it.
 */
export function combined({ mean, factor, noiseVariance }: MotionPosterior, weights: Float64Array): Measured {
  let [value, variance] = [0, 0];
  weights.forEach((weight, i) => {
    value += weight * mean[i];
  });
  for (const z of forwardSubstitute(factor, mean.length, weights)) variance += z * z;
  return { value, u: Math.sqrt(variance * noiseVariance) };
}

/**
 * How many coefficients along and across the marks have determined, the trace of A⁻¹G over each: all of
 * them, less what the prior holds of each. Source: Wood, Generalized Additive Models, 2nd ed. (2017), 5.4.2.
 */
export function usedFreedom(
  { basis, smoothness, factor, mean }: MotionPosterior,
  problem: MotionProblem,
): readonly [along: number, across: number] {
  const n = mean.length;
  const prior = new Float64Array(n * n);
  addPrior(prior, basis, smoothness, problem.directionRad);
  const used = (coordinate: 0 | 1) => {
    let held = 0;
    for (let i = coordinate * basis.size; i < (coordinate + 1) * basis.size; i++) {
      const unit = new Float64Array(n);
      unit[i] = 1;
      // column i of A⁻¹
      const column = backSubstitute(factor, n, forwardSubstitute(factor, n, unit, i));
      for (let j = 0; j < n; j++) held += column[j] * (i >= j ? prior[i * n + j] : prior[j * n + i]);
    }
    return basis.size - held;
  };
  return [used(0), used(1)];
}

/** Bounds of what is found by restricted likelihood. */
export type SmoothnessBounds = Pick<Smoothness, "push" | "flight">;

/**
 * One step of the smoothness towards the maximum of the restricted likelihood: lambda <- noise (r -
 * lambda tr(A⁻¹S)) / bᵀSb.
 * Source: Wood & Fasiolo, Biometrics 73:1071 (2017) (generalised Fellner-Schall).
 * @param least,most bounds of each precision, same order as Smoothness
 */
export function improvedSmoothness(
  posterior: MotionPosterior,
  least: SmoothnessBounds,
  most: SmoothnessBounds,
): Smoothness {
  const { basis, factor, mean, noiseVariance } = posterior;
  const improved = heldRows(basis, posterior.smoothness).map(({ precision, rows }) => {
    let roughness = 0;
    for (const { at, weights } of rows) {
      let difference = 0;
      at.forEach((index, i) => {
        difference += weights[i] * mean[index];
      });
      roughness += difference * difference;
    }
    const trace = sumOfInverseForms(factor, mean.length, rows);
    const freedom = Math.max(rows.length - precision * trace, 1e-9 * rows.length);
    return (noiseVariance * freedom) / Math.max(roughness, 1e-300);
  });
  const bounded = (i: number, low: number, high: number) => Math.min(Math.max(improved[i], low), high);
  return {
    ...posterior.smoothness,
    push: [
      bounded(0, least.push[0], most.push[0]),
      bounded(1, least.push[1], most.push[1]),
      bounded(2, least.push[2], most.push[2]),
    ],
    flight: [
      bounded(3, least.flight[0], most.flight[0]),
      bounded(4, least.flight[1], most.flight[1]),
      bounded(5, least.flight[2], most.flight[2]),
    ],
  };
}
