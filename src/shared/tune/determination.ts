import { singularValues } from "../numeric/singular-values.ts";

/**
 * An input counts as determined when its standard uncertainty after the fit is at most this
 * share of the one before.
 */
export const DETERMINED = 0.7;
const SEEN_TOGETHER = 0.5; // the same for a combination of inputs none of which is determined by itself
const TAKES_PART = 0.3; // least share (direction cosine) with which an input is named in a combination

/**
 * Which combinations of undetermined inputs the data do determine: directions of the covariance, each
 * input in units of what was known of it before, along which it has shrunk to half or less (principal
 * axes, by singular values).
 * @param covariance [n*n] after the fit, in units of the standard uncertainties before
 * @param undetermined indices into it
 * @returns indices, two or more in each combination
 */
export function combinationsSeen(
  covariance: Float64Array,
  n: number,
  undetermined: readonly number[],
): readonly (readonly number[])[] {
  const k = undetermined.length;
  if (k < 2) return [];
  const part = Float64Array.from(
    { length: k * k },
    (_, i) => covariance[undetermined[Math.floor(i / k)] * n + undetermined[i % k]],
  );
  const { s, v } = singularValues(part, k, k);
  return Array.from(s, (variance, axis) => ({ variance, axis }))
    .filter(({ variance }) => Math.sqrt(variance) <= SEEN_TOGETHER)
    .map(({ axis }) => undetermined.filter((_, i) => Math.abs(v[i * k + axis]) >= TAKES_PART))
    .filter((names) => names.length > 1);
}
