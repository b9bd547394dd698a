import { backSubstitute, forwardSubstitute } from "../numeric/cholesky.ts";
import { type Chance, createChance } from "../quantity/chance.ts";
import type { Measured } from "../quantity/measured.ts";
import type { MotionFit } from "./motion-fit.ts";
import type { MotionPosterior } from "./motion-posterior.ts";
import type { WeightedPosterior } from "./release-mixture.ts";

/** What the marks alone say: standard uncertainties here hold the marks' scatter, the smoothness and the release, nothing systematic. */
export interface MotionEstimates {
  /** s of the clock the marks carry. */
  readonly release: Measured;
  readonly start: Measured;
  /** m/s, of the centre of gravity at release; and its direction above the horizontal, rad. */
  readonly speed: Measured;
  readonly direction: Measured;
  readonly pitch: Measured;
  readonly pitchRate: Measured;
  /** m/s², the largest acceleration along the launch direction during the push, and when (s). */
  readonly peakAcceleration: Measured;
  readonly peakTime: Measured;
  /** m, travel along the launch direction from start to release; s, the time it took; m/s², speed gained over that time. */
  readonly stroke: Measured;
  readonly pushTime: Measured;
  readonly meanAcceleration: Measured;
}

const DRAWS = 600; // the sampled mean of the peak is then good to u / 24, far inside u itself
const SEED = 20_011; // any number; fixed so that the same marks give the same figures

/**
 * The headline estimates of a fitted motion. Means and variances over the mixture of release and start times; peak acceleration by
 * drawing whole motions from the posterior and taking the largest of each, because the largest of a mean curve is biased low.
 * Source of the sampling: JCGM 101:2008, clause 7.
 */
export function motionEstimates(fit: MotionFit): MotionEstimates {
  const parts = fit.parts.map((part) => ({ weight: part.weight, ...partAtRelease(part.posterior, fit) }));
  const over = (pick: (part: (typeof parts)[number]) => Measured) =>
    mixed(parts.map((part) => ({ weight: part.weight, ...pick(part) })));
  const peak = peakAcceleration(fit.parts, createChance(SEED));
  return {
    release: over((part) => ({ value: part.releaseS, u: 0 })),
    start: over((part) => ({ value: part.startS, u: 0 })),
    speed: over((part) => part.speed),
    direction: over((part) => part.direction),
    pitch: over((part) => part.pitch),
    pitchRate: over((part) => part.pitchRate),
    peakAcceleration: peak.acceleration,
    peakTime: peak.time,
    stroke: over((part) => part.stroke),
    pushTime: over((part) => ({ value: part.releaseS - part.startS, u: 0 })),
    meanAcceleration: over((part) => part.meanAcceleration),
  };
}

/** Mean and standard uncertainty of a mixture: within plus between (law of total variance). */
function mixed(parts: readonly (Measured & { readonly weight: number })[]): Measured {
  const value = parts.reduce((sum, part) => sum + part.weight * part.value, 0);
  const variance = parts.reduce(
    (sum, part) => sum + part.weight * (part.u ** 2 + (part.value - value) ** 2),
    0,
  );
  return { value, u: Math.sqrt(variance) };
}

function partAtRelease(posterior: MotionPosterior, fit: MotionFit) {
  const { basis } = posterior;
  const { releaseS, startS } = basis;
  const velocityRow = basis.row(releaseS, 1);
  const strokeRow = difference(basis.row(releaseS, 0), basis.row(startS, 0));
  const gainRow = difference(velocityRow, basis.row(startS, 1));
  const vs = functional(posterior, 0, velocityRow);
  const vn = functional(posterior, 1, velocityRow);
  const speedValue = Math.hypot(vs.value, vn.value);
  const [alongS, alongN] = [vs.value / speedValue, vn.value / speedValue];
  const speedU = combinedU(posterior, [
    { functional: vs, by: alongS },
    { functional: vn, by: alongN },
  ]);
  const directionU = combinedU(posterior, [
    { functional: vs, by: -alongN / speedValue },
    { functional: vn, by: alongS / speedValue },
  ]);
  const pushTime = releaseS - startS;
  const gain = measuredOf(posterior, functional(posterior, 0, gainRow));
  return {
    releaseS,
    startS,
    speed: { value: speedValue, u: speedU },
    direction: { value: fit.directionRad + Math.atan2(vn.value, vs.value), u: directionU },
    pitch: measuredOf(posterior, functional(posterior, 2, basis.row(releaseS, 0))),
    pitchRate: measuredOf(posterior, functional(posterior, 2, velocityRow)),
    stroke: measuredOf(posterior, functional(posterior, 0, strokeRow)),
    meanAcceleration: { value: gain.value / pushTime, u: gain.u / pushTime },
  };
}

/** A linear function of the coefficients: its value, and L⁻¹ of its row, whose length is its noise-relative u. */
interface Functional {
  readonly value: number;
  readonly half: Float64Array;
}

function functional(posterior: MotionPosterior, coordinate: 0 | 1 | 2, row: Float64Array): Functional {
  const { mean, factor, basis } = posterior;
  const full = new Float64Array(mean.length);
  let value = 0;
  row.forEach((b, i) => {
    full[coordinate * basis.size + i] = b;
    value += b * (mean[coordinate * basis.size + i] as number);
  });
  return { value, half: forwardSubstitute(factor, mean.length, full) };
}

function combinedU(
  posterior: MotionPosterior,
  terms: readonly { functional: Functional; by: number }[],
): number {
  let sum = 0;
  for (let i = 0; i < posterior.mean.length; i++) {
    const z = terms.reduce((total, term) => total + term.by * (term.functional.half[i] as number), 0);
    sum += z * z;
  }
  return Math.sqrt(sum * posterior.noiseVariance);
}

function measuredOf(posterior: MotionPosterior, one: Functional): Measured {
  return { value: one.value, u: combinedU(posterior, [{ functional: one, by: 1 }]) };
}

function difference(a: Float64Array, b: Float64Array): Float64Array {
  return a.map((x, i) => x - (b[i] as number));
}

function peakAcceleration(parts: readonly WeightedPosterior[], chance: Chance) {
  const peaks: number[] = [];
  const times: number[] = [];
  for (const { weight, posterior } of parts) {
    const { basis, mean, factor, noiseVariance } = posterior;
    const scale = Math.sqrt(noiseVariance);
    const count = Math.max(1, Math.round(weight * DRAWS));
    for (let draw = 0; draw < count; draw++) {
      const z = Float64Array.from({ length: mean.length }, () => chance.normal() * scale);
      const offset = backSubstitute(factor, mean.length, z);
      let [best, bestAt] = [Number.NEGATIVE_INFINITY, 0];
      // Acceleration is piecewise linear between the knots, so its largest value is a coefficient.
      for (let i = basis.push.first; i < basis.push.first + basis.push.count; i++) {
        const a = (mean[i] as number) + (offset[i] as number);
        if (a > best) [best, bestAt] = [a, i - basis.push.first];
      }
      peaks.push(best);
      times.push(basis.pushKnotsS[bestAt] as number);
    }
  }
  return { acceleration: sampled(peaks), time: sampled(times) };
}

function sampled(values: readonly number[]): Measured {
  const value = values.reduce((sum, x) => sum + x, 0) / values.length;
  const variance = values.reduce((sum, x) => sum + (x - value) ** 2, 0) / Math.max(1, values.length - 1);
  return { value, u: Math.sqrt(variance) };
}
