import { leastNear } from "../numeric/likelihood-profile.ts";
import { type ErrorVariance, scoreOf } from "./curve-likelihood.ts";
import { type Change, type CurveModel, type CurveRecord, firstSampleFrom } from "./curve-model.ts";
import type { Stretch } from "./curve-steps.ts";
import { bounds, changePenalty, groupBefore, groupsAreWide, type Place, withChange } from "./judge-change.ts";
import { smoothnessFit } from "./smoothness-fit.ts";

/*
 * A busy stretch of a calm curve, such as a fast rise, can pass for a few parabolas with jumps of the
 * acceleration between them: likely enough, and much too sure of itself. So each run of changes is held
 * against one that opens a smoothness of its own and one that closes it.
 */

/** A run of changes, or one smoothness from its first change to its last: which, and how likely. */
export interface BusyRun {
  readonly place: Place;
  readonly first: Change;
  readonly last: Change;
  /** The model with the run as one busy stretch. */
  readonly busy: CurveModel;
  /** -2 log odds of the busy stretch over the changes: below 0 it is the likelier. */
  readonly score: number;
}

const MOST_CHANGES = 4;
const MOST_SPAN = 400; // samples: a longer run of parabolas is one
const ROUNDS = 6;

/**
 * Every run of two to four changes that share one smoothness, as a busy stretch.
 * @param margin samples about a time that bear on it
 */
export function busyRuns(
  record: CurveRecord,
  model: CurveModel,
  errors: ErrorVariance,
  variance: number,
  margin: (time: number) => number,
): readonly BusyRun[] {
  const { changes } = model;
  const runs: BusyRun[] = [];
  for (let i = 0; i < changes.length; i++) {
    for (let k = i + 1; k < Math.min(changes.length, i + MOST_CHANGES); k++) {
      const around = groupBefore(model, changes[i].time);
      const run = changes.slice(i, k + 1);
      if (run.some(({ group }) => group !== around)) break;
      const stretch = stretchOf(record, run, margin);
      if (stretch === null) break;
      const isWhole = stretch.to - stretch.from === record.times.length;
      const place: Place = { record, stretch, errors: isWhole ? errors : variance };
      const found = busyRun(place, model, run);
      if (found !== null) runs.push(found);
    }
  }
  return runs;
}

function stretchOf(
  { times }: CurveRecord,
  run: readonly Change[],
  margin: (time: number) => number,
): Stretch | null {
  const [first, last] = [run[0].time, run[run.length - 1].time];
  const about = Math.min(Math.max(margin(first), margin(last)), MOST_SPAN);
  const [from, to] = [firstSampleFrom(times, first), firstSampleFrom(times, last)];
  if (to - from > MOST_SPAN) return null;
  return { from: Math.max(0, from - about), to: Math.min(times.length, to + about) };
}

function busyRun(place: Place, model: CurveModel, run: readonly Change[]): BusyRun | null {
  const { record, stretch, errors } = place;
  const now = smoothnessFit(record, model, stretch, errors, ROUNDS);
  const outside: CurveModel = {
    ...model,
    changes: model.changes.filter((change) => !run.includes(change)),
    // a hundred times the wandering, to begin with
    logSmoothness: [...model.logSmoothness, model.logSmoothness[run[0].group] + 5],
  };
  const own = model.logSmoothness.length;
  let first: Change = { ...run[0], group: own };
  let last: Change = { ...run[run.length - 1], kind: "smoothness" };
  let fit = smoothnessFit(record, withChange(withChange(outside, first), last), stretch, errors, ROUNDS);
  if (now === null || fit === null) return null;
  for (let round = 0; round < 2; round++) {
    const rest: CurveModel = { ...outside, logSmoothness: fit.model.logSmoothness };
    last = timed(place, withChange(rest, first), last);
    first = timed(place, withChange(rest, last), first);
    fit = smoothnessFit(record, withChange(withChange(rest, first), last), stretch, errors, ROUNDS);
    if (fit === null) return null;
  }
  if (!groupsAreWide(record, fit.model)) return null;
  const less = (change: Change, of: CurveModel): CurveModel => ({
    ...of,
    changes: of.changes.filter(({ time }) => time !== change.time),
  });
  const cost = (of: CurveModel, change: Change, looks: number | null) =>
    changePenalty(place, less(change, of), change, looks).penalty;
  const changes = run.reduce((sum, change) => sum + cost(now.model, change, null), now.score);
  const busy = fit.score + cost(fit.model, first, fit.looks[own] ?? 0) + cost(fit.model, last, null);
  return { place, first: run[0], last: run[run.length - 1], busy: fit.model, score: busy - changes };
}

/** A change at its likeliest time near where it is. */
function timed({ record, stretch, errors }: Place, rest: CurveModel, change: Change): Change {
  const [low, high] = bounds(record, stretch, rest, change.time);
  const scoreAt = (time: number) =>
    scoreOf(record, withChange(rest, { ...change, time }), stretch, errors)?.score ??
    Number.POSITIVE_INFINITY;
  return { ...change, time: leastNear(scoreAt, change.time, 2, low, high) };
}
