import { type CurveModel, type CurveRecord, firstSampleFrom, LOWEST_JUMP } from "./curve-model.ts";

/**
 * Samples and change points in order of time, as the filter walks through them. A change point is a step
 * without an observation; what jumps there jumps before the step's state is told.
 */
export interface CurveSteps {
  readonly count: number;
  /** [count]: from the step before. */
  readonly intervals: Float64Array;
  /** [count]: spectral density on that interval, over the errors' variance, and its group. */
  readonly densities: Float64Array;
  readonly groups: Int32Array;
  /** [count]: index of the sample, -1 at a change point. */
  readonly samples: Int32Array;
  /** [count]: lowest derivative that jumps, 3 for none. */
  readonly lowest: Uint8Array;
  /** [changes]: their steps. */
  readonly changeSteps: readonly number[];
}

/** A stretch of the samples, from..to - 1. */
export interface Stretch {
  readonly from: number;
  readonly to: number;
}

/**
 * The steps of a stretch of samples with the change points inside it; the smoothness at its first sample is
 * that of the last change before it.
 */
export function curveSteps(record: CurveRecord, model: CurveModel, { from, to }: Stretch): CurveSteps {
  const { times } = record;
  const firstTime = times[from];
  const lastTime = times[to - 1];
  const inside = model.changes.filter(({ time }) => time > firstTime && time <= lastTime);
  const before = model.changes.findLast(({ time }) => time <= firstTime);
  const count = to - from + inside.length;
  const intervals = new Float64Array(count);
  const densities = new Float64Array(count);
  const groups = new Int32Array(count);
  const samples = new Int32Array(count);
  const lowest = new Uint8Array(count).fill(3);
  const changeSteps: number[] = [];
  let [group, last, step, next] = [before?.group ?? 0, firstTime, 0, 0];
  const put = (time: number, sample: number) => {
    intervals[step] = time - last;
    groups[step] = group;
    densities[step] = Math.exp(model.logSmoothness[group]);
    samples[step] = sample;
    last = time;
    step++;
  };
  for (let i = from; i < to; i++) {
    while (next < inside.length && inside[next].time <= times[i]) {
      const change = inside[next++];
      put(change.time, -1);
      lowest[step - 1] = LOWEST_JUMP[change.kind];
      changeSteps.push(step - 1);
      group = change.group;
    }
    put(times[i], i);
  }
  return { count, intervals, densities, groups, samples, lowest, changeSteps };
}

/** The samples within a reach (in units of the spacing, at least so many samples) about a time. */
export function stretchAbout(times: Float64Array, time: number, samples: number): Stretch {
  const at = firstSampleFrom(times, time);
  return { from: Math.max(0, at - samples), to: Math.min(times.length, at + samples) };
}
