import { backSubstitute, forwardSubstitute } from "../numeric/cholesky.ts";
import type { MotionFit } from "./fitted-motion.ts";
import { type Coordinate, type Derivative, motionAt } from "./mean-motion.ts";
import type { MotionPosterior } from "./motion-posterior.ts";

/** One curve of the fitted motion on given times, with the standard uncertainty that the marks leave. */
export interface FittedCurve {
  readonly value: readonly number[];
  readonly u: readonly number[];
}

/**
 * Curves of the fitted motion at the given times. Values are means over the mixture of release and start
 * times; u is the spread within the best part and between the parts (law of total variance).
 * @param curve coordinate 0 s, 1 n, 2 pitch; derivative 0, 1 or 2; `from` is
 *   subtracted, e.g. the place at rest
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
    const parts = fit.parts.map(({ weight, posterior }) => ({
      weight,
      motion: motionAt(posterior, fit.directionRad, timeS),
    }));
    const rows = ([0, 1, 2] as const).map((derivative) => fit.best.basis.row(timeS, derivative));
    wanted.forEach(({ coordinate, derivative, from }, i) => {
      const values = parts.map(({ motion }) => motion(coordinate, derivative));
      const averaged = (f: (value: number) => number) =>
        values.reduce((sum, value, at) => sum + (parts[at] as { weight: number }).weight * f(value), 0);
      const mean = averaged((value) => value);
      const between = averaged((value) => (value - mean) ** 2);
      const within = quadratic(covariance, fit.best, coordinate, rows[derivative] as Float64Array);
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
    const bi = row[i];
    if (bi === 0) continue;
    const at = (from + i) * n + from;
    let below = 0;
    for (let j = 0; j < i; j++) below += row[j] * covariance[at + j];
    sum += bi * (2 * below + bi * covariance[at + i]);
  }
  return Math.max(0, sum);
}
