import { leastNear, reachOf } from "../numeric/likelihood-profile.ts";
import type { JudgedPlace, SearchedCurve } from "./change-search.ts";
import { type ErrorVariance, scoreOf } from "./curve-likelihood.ts";
import { type Change, type CurveModel, type CurveRecord, firstSampleFrom } from "./curve-model.ts";
import type { Stretch } from "./curve-steps.ts";
import { withChange } from "./judge-change.ts";
import { leastLogSmoothness, MOST_LOG_SMOOTHNESS } from "./smoothness-fit.ts";

/** One model among those that the samples leave open, and how likely it is beside the others. */
export interface Part {
  readonly weight: number;
  readonly model: CurveModel;
  /** Of the errors: a curve held more loosely leaves them less. */
  readonly variance: number;
  /** Null for a part that has no change where others have one. */
  readonly change: Change | null;
}

const LEAST_SHARE = 0.005;
/** Standard deviations from the likeliest time, and how far they lie apart. */
const TIMES = [-2.25, -1.5, -0.75, 0, 0.75, 1.5, 2.25];
const APART = 0.75;
const SMOOTHNESSES = [-2, -1, 0, 1, 2];
const LONGEST_DOWN = 3; // to one standard deviation, as a log: with less wandering nothing changes any more

/** Every reading of a place, each at times as far out as its likelihood reaches. */
export function placeParts({ place, readings }: JudgedPlace): readonly Part[] {
  const { record, stretch, errors } = place;
  const [first, last] = [record.times[stretch.from], record.times[stretch.to - 1]];
  return readings
    .filter(({ share }) => share > LEAST_SHARE)
    .flatMap((reading): readonly Part[] => {
      const { change, model, share, before, after } = reading;
      const { score: bare, variance } = scoreOf(record, model, stretch, errors) ?? NONE;
      if (change === null) return [{ weight: share, model, change, variance }];
      const rest: CurveModel = {
        ...model,
        changes: model.changes.filter(({ time }) => time !== change.time),
      };
      const neighbours = rest.changes.map(({ time }) => time);
      const low = Math.max(first, ...neighbours.filter((time) => time < change.time));
      const high = Math.min(last, ...neighbours.filter((time) => time > change.time));
      const parts = TIMES.flatMap((z): readonly Part[] => {
        const reach = z < 0 ? before : z > 0 ? after : (before + after) / 2;
        const time = change.time + z * (z < 0 ? before : after);
        if (!(time > low && time < high) || (reach === 0 && z !== 0)) return [];
        const moved = withChange(rest, { ...change, time });
        const found = scoreOf(record, moved, stretch, errors);
        if (found === null) return [];
        const weight = Math.exp((bare - found.score) / 2) * Math.max(APART * reach, 1e-6);
        return [{ weight, model: moved, change: { ...change, time }, variance: found.variance }];
      });
      const total = parts.reduce((sum, { weight }) => sum + weight, 0);
      return parts
        .map((part) => ({ ...part, weight: (share * part.weight) / total }))
        .filter(({ weight }) => weight > 1e-3 * share);
    });
}

const NONE = { score: Number.POSITIVE_INFINITY, variance: 0 };

/**
 * One smoothness as far as the samples leave it open, others as they are. Its root, the size of the
 * acceleration's wandering, is as likely anywhere: where nothing of it is seen the curve is then as free as
 * it may be without being seen.
 */
export function smoothnessParts(
  record: CurveRecord,
  { model, looks }: SearchedCurve,
  group: number,
  stretch: Stretch,
  errors: ErrorVariance,
): readonly Part[] {
  const at = model.logSmoothness[group];
  const low = leastLogSmoothness(stretch.to - stretch.from);
  const withLog = (log: number): CurveModel => ({
    ...model,
    logSmoothness: model.logSmoothness.with(group, Math.min(Math.max(log, low), MOST_LOG_SMOOTHNESS)),
  });
  const penalised = (log: number) =>
    (scoreOf(record, withLog(log), stretch, errors)?.score ?? Number.POSITIVE_INFINITY) - log;
  const sd = Math.sqrt(2 / Math.max(looks[group], 0.5));
  const mode = leastNear(penalised, at, sd / 2, low, MOST_LOG_SMOOTHNESS);
  const here = penalised(mode);
  const down = Math.min(reachOf(penalised, mode, here, sd, -1), LONGEST_DOWN);
  const up = reachOf(penalised, mode, here, sd, 1);
  return SMOOTHNESSES.map((z) => {
    const log = mode + z * (z < 0 ? down : up);
    const width = z < 0 ? down : z > 0 ? up : (down + up) / 2;
    const { score, variance } = scoreOf(record, withLog(log), stretch, errors) ?? NONE;
    return {
      weight: Math.exp((here + log - score) / 2) * width,
      model: withLog(log),
      change: null,
      variance,
    };
  });
}

/** The samples that a smoothness bears on: its own and as many about them as `margin` says. */
export function stretchOfGroup(
  { times }: CurveRecord,
  { changes }: CurveModel,
  group: number,
  margin: number,
): Stretch {
  const starts = [0, ...changes.map(({ time }) => firstSampleFrom(times, time)), times.length];
  const own = starts.slice(0, -1).flatMap((from, i) => {
    const its = i === 0 ? 0 : changes[i - 1].group;
    return its === group ? [{ from, to: starts[i + 1] }] : [];
  });
  return {
    from: Math.max(0, Math.min(...own.map(({ from }) => from)) - margin),
    to: Math.min(times.length, Math.max(...own.map(({ to }) => to)) + margin),
  };
}
