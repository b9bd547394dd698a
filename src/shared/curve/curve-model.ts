/**
 * What a curve is told by, times in units of the spacing and values about their mean: the estimator works on
 * plain numbers near 1, whatever the person's units.
 */
export interface CurveRecord {
  /** [n], strictly increasing, in units of the median spacing, from 0. */
  readonly times: Float64Array;
  /** [n], in the value's own unit, about their mean. */
  readonly values: Float64Array;
  /** [n], standard uncertainties; relative to each other only unless the model's errors are stated. */
  readonly sizes: Float64Array;
  /** Of the errors, where it is found: values have no more digits than that. */
  readonly leastVariance: number;
}

/**
 * At a change point the value, its rate or its acceleration jumps, and all derivatives above it with it;
 * "smoothness": nothing jumps, but from there on the curve bends more or less freely.
 */
export type ChangeKind = "value" | "rate" | "acceleration" | "smoothness";

/** The lowest derivative that jumps; 3: none. */
export const LOWEST_JUMP: Readonly<Record<ChangeKind, 0 | 1 | 2 | 3>> = {
  value: 0,
  rate: 1,
  acceleration: 2,
  smoothness: 3,
};

export interface Change {
  /** In units of the spacing. */
  readonly time: number;
  readonly kind: ChangeKind;
  /** Which smoothness holds from here on. */
  readonly group: number;
}

/**
 * A curve whose acceleration is a Wiener process between change points (the prior of a quintic smoothing
 * spline: Wahba, J. R. Stat. Soc. B 40:364, 1978; its state-space form: Wecker & Ansley, J. Am. Stat. Assoc.
 * 78:81, 1983; both from memory), with a flat prior on value, rate and acceleration at its start.
 */
export interface CurveModel {
  /** In order of time. */
  readonly changes: readonly Change[];
  /** [groups]: log of the Wiener process's spectral density over the errors' variance; group 0 first. */
  readonly logSmoothness: readonly number[];
  /** Correlation of an error with one that lies a spacing before; 0: white. */
  readonly lag: number;
  /** Prior variances of a jump of value, rate and acceleration over the errors' variance. */
  readonly jumps: readonly [number, number, number];
}

/** Index of the first sample at or after a time. */
export function firstSampleFrom(times: Float64Array, time: number): number {
  let [low, high] = [0, times.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (times[middle] < time) low = middle + 1;
    else high = middle;
  }
  return low;
}
