import { backSubstitute, forwardSubstitute } from "../numeric/cholesky.ts";
import { type Coordinate, type Derivative, motionAt } from "./mean-motion.ts";
import type { MotionFit } from "./motion-fit.ts";
import type { MotionPosterior } from "./motion-posterior.ts";

/** One curve of the fitted motion on given times, with the standard uncertainty that the marks leave. */
export interface FittedCurve {
  readonly value: readonly number[];
  readonly u: readonly number[];
}

/**
 * Curves of the fitted motion at the given times. Values are means over the mixture of release and start times; u is the spread
 * within the best part and between the parts (law of total variance).
 * @param curve coordinate 0 s, 1 n, 2 pitch; derivative 0, 1 or 2; `from` is subtracted, e.g. the place at rest
 */
export function fittedCurves(
  fit: MotionFit,
  timesS: readonly number[],
  wanted: readonly {
    readonly coordinate: Coordinate;
    readonly derivative: Derivative;
    readonly from: number;
  }[],
): readonly FittedCurve[] {
  const covariance = covarianceOf(fit.best);
  const curves = wanted.map(() => ({ value: [] as number[], u: [] as number[] }));
  for (const timeS of timesS) {
    // One row serves every coordinate of a part.
    const parts = fit.parts.map(({ weight, posterior }) => ({
      weight,
      motion: motionAt(posterior, fit.directionRad, timeS),
    }));
    wanted.forEach(({ coordinate, derivative, from }, i) => {
      const mean = parts.reduce((sum, part) => sum + part.weight * part.motion(coordinate, derivative), 0);
      const between = parts.reduce(
        (sum, part) => sum + part.weight * (part.motion(coordinate, derivative) - mean) ** 2,
        0,
      );
      const within = quadratic(covariance, fit.best, coordinate, fit.best.basis.row(timeS, derivative));
      curves[i]?.value.push(mean - from);
      curves[i]?.u.push(Math.sqrt(within + between));
    });
  }
  return curves;
}

/** Covariance of all coefficients, [n * n]. */
function covarianceOf(posterior: MotionPosterior): Float64Array {
  const n = posterior.mean.length;
  const covariance = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    const unit = new Float64Array(n);
    unit[i] = posterior.noiseVariance;
    covariance.set(backSubstitute(posterior.factor, n, forwardSubstitute(posterior.factor, n, unit)), i * n);
  }
  return covariance;
}

function quadratic(
  covariance: Float64Array,
  posterior: MotionPosterior,
  coordinate: number,
  row: Float64Array,
): number {
  const n = posterior.mean.length;
  const from = coordinate * posterior.basis.size;
  let sum = 0;
  for (let i = 0; i < row.length; i++) {
    const bi = row[i] as number;
    if (bi === 0) continue;
    let inner = 0;
    for (let j = 0; j < row.length; j++)
      inner += (row[j] as number) * (covariance[(from + i) * n + from + j] as number);
    sum += bi * inner;
  }
  return Math.max(0, sum);
}
