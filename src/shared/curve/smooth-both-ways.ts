import { type Filtered, filterCurve } from "./curve-filter.ts";
import { type Change, type CurveModel, type CurveRecord, firstSampleFrom } from "./curve-model.ts";
import { type Smoothed, smoothCurve } from "./curve-smoother.ts";
import { type CurveSteps, curveSteps, type Stretch } from "./curve-steps.ts";

/** Value, rate and acceleration with their variances over the errors'. */
export interface CurveStates {
  /** [3 * samples of the stretch] each. */
  readonly means: Float64Array;
  readonly variances: Float64Array;
}

const JUST_AFTER = 1e-9; // of a spacing

/**
 * The curve over a stretch of samples from both ends: the later half by a pass forwards, the earlier half by
 * one through the mirrored record. Near where a pass starts its variances are differences of large numbers.
 * @returns null when the samples do not settle value, rate and acceleration
 */
export function smoothBothWays(record: CurveRecord, model: CurveModel, stretch: Stretch): CurveStates | null {
  const mirror = mirrored(record, model, stretch);
  const samples = stretch.to - stretch.from;
  const passes = (soon: boolean) => [
    pass(record, model, stretch, soon),
    pass(mirror.record, mirror.model, { from: 0, to: samples }, soon),
  ];
  let [forwards, backwards] = passes(false);
  // A few crowded samples may not be settled half way from either end; then three must do.
  const halfway = (one: Pass | null) => one !== null && one.first <= samples >> 1;
  if (!halfway(forwards) || !halfway(backwards)) [forwards, backwards] = passes(true);
  if (!forwards || !backwards) return null;
  const half = Math.max(samples >> 1, forwards.first);
  const means = new Float64Array(3 * samples);
  const variances = new Float64Array(3 * samples);
  const put = ({ steps, smoothed }: Pass, isMirror: boolean) => {
    for (let step = 0; step < steps.count; step++) {
      if (steps.samples[step] < 0) continue;
      const sample = isMirror ? samples - 1 - steps.samples[step] : steps.samples[step] - stretch.from;
      if (sample >= half === isMirror) continue;
      for (let k = 0; k < 3; k++) {
        means[3 * sample + k] = (isMirror && k === 1 ? -1 : 1) * smoothed.means[3 * step + k];
        variances[3 * sample + k] = smoothed.variances[3 * step + k];
      }
    }
  };
  put(forwards, false);
  put(backwards, true);
  return { means, variances };
}

export interface Pass {
  readonly steps: CurveSteps;
  readonly filtered: Filtered;
  readonly smoothed: Smoothed;
  /** How many samples come before the one that settled the start. */
  readonly first: number;
}

/** One pass forwards and back over a stretch; null when the samples do not settle the state. */
export function pass(record: CurveRecord, model: CurveModel, stretch: Stretch, soon = false): Pass | null {
  const steps = curveSteps(record, model, stretch);
  const filtered = filterCurve(record, steps, model.lag, model.jumps, soon);
  if (filtered.start === null) return null;
  const first = steps.samples[filtered.start.steps - 1] - stretch.from;
  return { steps, filtered, first, smoothed: smoothCurve(record, steps, model.lag, filtered) };
}

/** The stretch with time running the other way: each change then brings back what held before it. */
function mirrored(
  { times, values, sizes, leastVariance }: CurveRecord,
  model: CurveModel,
  { from, to }: Stretch,
): { readonly record: CurveRecord; readonly model: CurveModel } {
  const last = times[to - 1];
  const first = times[from];
  const changes: Change[] = [];
  let group = model.changes.findLast(({ time }) => time <= first)?.group ?? 0;
  for (const change of model.changes) {
    if (!(change.time > first && change.time <= last)) continue;
    // a sample at the very time of a change is after it, either way
    const onSample = times[firstSampleFrom(times, change.time)] === change.time;
    changes.unshift({ ...change, time: last - change.time + (onSample ? JUST_AFTER : 0), group });
    group = change.group;
  }
  // what holds at the mirror's start needs a change before it
  changes.unshift({ time: Number.NEGATIVE_INFINITY, kind: "smoothness", group });
  return {
    record: {
      times: times
        .slice(from, to)
        .map((t) => last - t)
        .reverse(),
      values: values.slice(from, to).reverse(),
      sizes: sizes.slice(from, to).reverse(),
      leastVariance,
    },
    model: { ...model, changes },
  };
}
