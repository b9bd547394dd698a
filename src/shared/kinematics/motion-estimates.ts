import { backSubstitute } from "../numeric/cholesky.ts";
import { createChance } from "../quantity/chance.ts";
import type { Measured } from "../quantity/measured.ts";
import type { MotionFit } from "./fitted-motion.ts";
import { type MotionNumbers, motionNumbers } from "./motion-numbers.ts";

/** A fitted motion as numbers: what each release time says on average, and motions drawn from all of them. */
export interface MotionSample {
  /** Of the parts of the mixture, weights summing to 1. */
  readonly means: readonly { readonly weight: number; readonly numbers: MotionNumbers }[];
  readonly draws: readonly MotionNumbers[];
}

/**
 * Each number with the standard uncertainty that the marks leave: their scatter, the smoothness and the
 * release, nothing systematic.
 */
export type MotionEstimates = { readonly [Name in keyof MotionNumbers]: Measured };

const DRAWS = 600; // a standard deviation from 600 draws is good to 3 %
const SEED = 20_011; // any number; fixed so that the same marks give the same figures

/** Draws whole motions from the posterior. Source: JCGM 101:2008, clause 7. */
export function sampleMotion(fit: MotionFit, count = DRAWS): MotionSample {
  const chance = createChance(SEED);
  const means = fit.parts.map(({ weight, posterior }) => ({
    weight,
    numbers: motionNumbers(posterior, posterior.mean, fit.directionRad),
  }));
  const draws: MotionNumbers[] = [];
  for (const { weight, posterior } of fit.parts) {
    const { mean, factor, noiseVariance } = posterior;
    const scale = Math.sqrt(noiseVariance);
    const z = new Float64Array(mean.length);
    for (let draw = Math.max(1, Math.round(weight * count)); draw > 0; draw--) {
      for (let i = 0; i < z.length; i++) z[i] = chance.normal() * scale;
      const offset = backSubstitute(factor, mean.length, z);
      for (let i = 0; i < offset.length; i++) offset[i] = offset[i] + mean[i];
      draws.push(motionNumbers(posterior, offset, fit.directionRad));
    }
  }
  return { means, draws };
}

/**
 * One result of a sampled motion: the mean over release times of the motion's mean, with the standard
 * deviation of the draws. What is the largest of something over the push is that of the mean motion: the
 * largest of each draw is larger, by what its own noise adds to a flat curve.
 */
export function estimateOf(
  { means, draws }: MotionSample,
  pick: (numbers: MotionNumbers) => number,
): Measured {
  const drawn = draws.map(pick);
  const mean = drawn.reduce((sum, x) => sum + x, 0) / drawn.length;
  const variance = drawn.reduce((sum, x) => sum + (x - mean) ** 2, 0) / Math.max(1, drawn.length - 1);
  const value = means.reduce((sum, part) => sum + part.weight * pick(part.numbers), 0);
  return { value, u: Math.sqrt(variance) };
}

/** All numbers of a fitted motion. */
export function motionEstimates(fit: MotionFit): MotionEstimates {
  const sample = sampleMotion(fit);
  const names = Object.keys(sample.means[0]?.numbers ?? {}) as (keyof MotionNumbers)[];
  const entries = names.map((name) => [name, estimateOf(sample, (numbers) => numbers[name])]);
  return Object.fromEntries(entries) as MotionEstimates;
}
