import { spend } from "../numeric/work-budget.ts";
import type { CurveRecord } from "./curve-model.ts";
import type { CurveSteps } from "./curve-steps.ts";
import { type FlatStart, flatStart, type SettledStart } from "./flat-start.ts";

/*
 * State: value, rate, acceleration and the error, the last in units of its own size. White errors are those
 * of no memory, so one filter serves both kinds. Everything is over the errors' variance.
 */

/**
 * What the filter keeps of a step: the state before its sample is seen, that sample's surprise, and its size.
 */
export const KEPT = 16;
export const [MEAN, COVARIANCE, SURPRISE, SURPRISE_SIZE] = [0, 4, 14, 15] as const;

export interface Filtered {
  /**
   * [count * KEPT]: mean 4; covariance 00 01 02 11 12 22 0e 1e 2e ee; surprise and its variance (0: no
   * sample).
   */
  readonly kept: Float64Array;
  /** How the flat prior of the first steps went over into a state; null when the samples do not settle it. */
  readonly start: SettledStart | null;
  /** Sum of log variances of the surprises, and of their squares over the variances. */
  readonly logSum: number;
  readonly squares: number;
  /** Samples beyond the three that settle value, rate and acceleration. */
  readonly freedom: number;
}

/** Correlation of errors over an interval. */
export function errorMemory(lag: number, interval: number): number {
  return lag === 0 ? 0 : lag ** interval;
}

/**
 * Kalman filter over the steps, with a flat prior on the state at the first (de Jong, Ann. Stat. 19:1073,
 * 1991, from memory: carried as an unknown until the samples settle it). Cost: in proportion to the steps.
 * @param soon whether three samples settle it however close together they lie
 */
export function filterCurve(
  record: CurveRecord,
  steps: CurveSteps,
  lag: number,
  jumps: readonly [number, number, number],
  soon = false,
): Filtered {
  const { count, intervals, samples } = steps;
  spend(count);
  const walked: Walked = {
    kept: new Float64Array(KEPT * count),
    state: new Float64Array(14),
    sums: new Float64Array(2),
  };
  const { kept, state, sums } = walked;
  state[13] = 1; // nothing is known of the first error but its size
  const early: FlatStart = flatStart();
  let start: SettledStart | null = null;
  let step = 0;
  for (; step < count && start === null; step++) {
    walk(record, steps, lag, jumps, step, step + 1, walked);
    if (step > 0) early.move(intervals[step], errorMemory(lag, intervals[step]));
    if (samples[step] < 0) {
      early.pass();
      continue;
    }
    early.see(kept.subarray(KEPT * step, KEPT * (step + 1)), record.sizes[samples[step]]);
    start = early.settled(state, soon || step === count - 1);
  }
  if (start !== null) {
    state.set(start.state);
    sums[0] += start.logInformation;
    sums[1] -= start.explained;
    walk(record, steps, lag, jumps, step, count, walked);
  }
  const seen = samples.reduce((sum, sample) => sum + (sample < 0 ? 0 : 1), 0);
  return { kept, start, logSum: sums[0], squares: sums[1], freedom: seen - 3 };
}

interface Walked {
  readonly kept: Float64Array;
  /** [14]: mean 4, covariance 10, after the last step's sample. */
  readonly state: Float64Array;
  /** Of log variances of the surprises, and of their squares over the variances. */
  readonly sums: Float64Array;
}

/** Steps from..to - 1. One loop over numbers, for speed. */
function walk(
  { values, sizes }: CurveRecord,
  { intervals, densities, samples, lowest }: CurveSteps,
  lag: number,
  jumps: readonly [number, number, number],
  from: number,
  to: number,
  { kept, state, sums }: Walked,
): void {
  let m0 = state[0];
  let m1 = state[1];
  let m2 = state[2];
  let me = state[3];
  let p00 = state[4];
  let p01 = state[5];
  let p02 = state[6];
  let p11 = state[7];
  let p12 = state[8];
  let p22 = state[9];
  let c0 = state[10];
  let c1 = state[11];
  let c2 = state[12];
  let pe = state[13];
  let logSum = 0;
  let squares = 0;
  let memory = 0;
  let lastInterval = -1;
  for (let step = from; step < to; step++) {
    const h = intervals[step];
    if (step > 0) {
      const h2 = h * h;
      const half = h2 / 2;
      const q = densities[step];
      m0 += h * m1 + half * m2;
      m1 += h * m2;
      p00 += 2 * h * p01 + h2 * (p02 + p11) + h * h2 * p12 + half * half * p22 + (q * h2 * h2 * h) / 20;
      p01 += h * (p02 + p11) + 1.5 * h2 * p12 + h * half * p22 + (q * h2 * h2) / 8;
      p02 += h * p12 + half * p22 + (q * h2 * h) / 6;
      p11 += 2 * h * p12 + h2 * p22 + (q * h2 * h) / 3;
      p12 += h * p22 + (q * h2) / 2;
      p22 += q * h;
      if (h !== lastInterval) {
        memory = errorMemory(lag, h);
        lastInterval = h;
      }
      me *= memory;
      c0 = memory * (c0 + h * c1 + half * c2);
      c1 = memory * (c1 + h * c2);
      c2 *= memory;
      pe = 1 + memory * memory * (pe - 1);
    }
    const jumps0 = lowest[step];
    if (jumps0 < 1) p00 += jumps[0];
    if (jumps0 < 2) p11 += jumps[1];
    if (jumps0 < 3) p22 += jumps[2];
    const at = KEPT * step;
    kept[at] = m0;
    kept[at + 1] = m1;
    kept[at + 2] = m2;
    kept[at + 3] = me;
    kept[at + 4] = p00;
    kept[at + 5] = p01;
    kept[at + 6] = p02;
    kept[at + 7] = p11;
    kept[at + 8] = p12;
    kept[at + 9] = p22;
    kept[at + 10] = c0;
    kept[at + 11] = c1;
    kept[at + 12] = c2;
    kept[at + 13] = pe;
    const sample = samples[step];
    if (sample < 0) continue;
    const s = sizes[sample];
    const g0 = p00 + s * c0;
    const g1 = p01 + s * c1;
    const g2 = p02 + s * c2;
    const ge = c0 + s * pe;
    const size = g0 + s * ge;
    const surprise = values[sample] - m0 - s * me;
    kept[at + SURPRISE] = surprise;
    kept[at + SURPRISE_SIZE] = size;
    logSum += Math.log(size);
    squares += (surprise * surprise) / size;
    const w = surprise / size;
    m0 += g0 * w;
    m1 += g1 * w;
    m2 += g2 * w;
    me += ge * w;
    p00 -= (g0 * g0) / size;
    p01 -= (g0 * g1) / size;
    p02 -= (g0 * g2) / size;
    p11 -= (g1 * g1) / size;
    p12 -= (g1 * g2) / size;
    p22 -= (g2 * g2) / size;
    c0 -= (g0 * ge) / size;
    c1 -= (g1 * ge) / size;
    c2 -= (g2 * ge) / size;
    pe -= (ge * ge) / size;
  }
  state[0] = m0;
  state[1] = m1;
  state[2] = m2;
  state[3] = me;
  state[4] = p00;
  state[5] = p01;
  state[6] = p02;
  state[7] = p11;
  state[8] = p12;
  state[9] = p22;
  state[10] = c0;
  state[11] = c1;
  state[12] = c2;
  state[13] = pe;
  sums[0] += logSum;
  sums[1] += squares;
}

/** Sum of Q_ij M_ij for a symmetric M, Q = [[h⁵/20, h⁴/8, h³/6], [., h³/3, h²/2], [., ., h]]. */
export function wanderingForm(
  h: number,
  m00: number,
  m01: number,
  m02: number,
  m11: number,
  m12: number,
  m22: number,
): number {
  const h2 = h * h;
  return h * (m22 + h * m12 + h2 * (m11 / 3 + m02 / 3) + (h2 * h * m01) / 4 + (h2 * h2 * m00) / 20);
}
