/** One reading of a logger: s on its own clock, and a value in SI. */
export interface LogSample {
  readonly timeS: number;
  readonly value: number;
}

/** Mean and standard deviation. @throws RangeError for fewer than two values */
export function meanOf(values: readonly number[]): { readonly mean: number; readonly sd: number } {
  if (values.length < 2) throw new RangeError(`meanOf: need two values; got ${values.length}`);
  const mean = values.reduce((sum, one) => sum + one, 0) / values.length;
  const squares = values.reduce((sum, one) => sum + (one - mean) ** 2, 0);
  return { mean, sd: Math.sqrt(squares / (values.length - 1)) };
}

/**
 * The middle value, and 1.4826 times the middle distance from it: a standard deviation that strays do not
 * move.
 */
export function robustMeanOf(values: readonly number[]): { readonly mean: number; readonly sd: number } {
  const mean = median(values);
  return { mean, sd: 1.4826 * median(values.map((one) => Math.abs(one - mean))) };
}

function median(values: readonly number[]): number {
  const sorted = values.toSorted((a, b) => a - b);
  const half = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[half] : (sorted[half - 1] + sorted[half]) / 2;
}

const MOST_LAG = 0.95;

/**
 * Factor by which errors that last from sample to sample widen what is fitted: √((1 + r)/(1 − r)), r the
 * correlation of neighbours, where that is above 0. Source: G. E. P. Box, G. M. Jenkins, Time Series
 * Analysis, the variance of the mean of a first-order process; from memory.
 */
export function lastingErrors(residuals: readonly number[]): number {
  let [own, next] = [0, 0];
  for (let i = 0; i < residuals.length; i++) {
    own += residuals[i] ** 2;
    if (i > 0) next += residuals[i] * residuals[i - 1];
  }
  const r = own === 0 ? 0 : Math.min(MOST_LAG, Math.max(0, next / own));
  return Math.sqrt((1 + r) / (1 - r));
}
