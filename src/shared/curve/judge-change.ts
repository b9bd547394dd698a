import { leastNear, reachOf } from "../numeric/likelihood-profile.ts";
import { type ErrorVariance, scoreOf } from "./curve-likelihood.ts";
import {
  type Change,
  type ChangeKind,
  type CurveModel,
  type CurveRecord,
  firstSampleFrom,
} from "./curve-model.ts";
import type { Stretch } from "./curve-steps.ts";
import { type SmoothnessFit, smoothnessFit } from "./smoothness-fit.ts";

/** One reading of a place: no change there, or one of a kind, with or without a smoothness of its own. */
export interface Reading {
  readonly change: Change | null;
  readonly model: CurveModel;
  /** -2 log posterior probability, up to a constant of the place. */
  readonly score: number;
  /** Spacings that the change's time may move to either side: one standard deviation. */
  readonly before: number;
  readonly after: number;
}

/** Where to look, and with which errors. */
export interface Place {
  readonly record: CurveRecord;
  readonly stretch: Stretch;
  readonly errors: ErrorVariance;
}

// A smoothness of its own may lie anywhere over eight decades, and is known to a factor: Laplace's rule.
const LOG_SMOOTHNESS_RANGE = Math.log(1e8);
// What is to be expected of a record before it is seen, wherever in it: half a jump, of any of three kinds,
// half of which bring a new smoothness; one in twenty changes nothing but its smoothness. Choices of ours.
const JUMP_OF_KIND = 0.5 / 3 / 2;
const SMOOTHNESS_ONLY = 0.05;
/** Samples that a smoothness needs for itself: of fewer it says nothing, but passes for a jump. */
const LEAST_OF_GROUP = 8;
const MOST_WORSE = 14; // 2 log of a thousand
const ROUNDS = 5;

/**
 * What the samples say of a change point near a time: the likeliest readings with their posterior odds. A
 * change may lie anywhere in the record alike; jumps are of the size the curve's own derivatives span (the
 * model's `jumps`).
 * @param base the model without the change; @param jumpsOnly leaves out a change of nothing but smoothness
 * @returns likeliest first; "no change" is always among them
 */
export function judgeChange(
  place: Place,
  base: CurveModel,
  time: number,
  jumpsOnly: boolean,
): readonly Reading[] {
  const { record, stretch, errors } = place;
  const without = smoothnessFit(record, base, stretch, errors, ROUNDS);
  if (without === null) return [];
  const readings: Reading[] = [
    { change: null, model: without.model, score: without.score, before: 0, after: 0 },
  ];
  const group = groupBefore(base, time);
  const shared = JUMPS.flatMap((kind) => fitted(place, without.model, { time, kind, group }));
  const likeliest = leastOf(shared);
  // The likeliest jump again with a smoothness of its own, and that alone.
  const from = likeliest?.change ?? { time, kind: "smoothness" as const, group };
  const own = [
    ...(jumpsOnly ? [] : (["smoothness"] as const)),
    ...(likeliest === null ? [] : [from.kind]),
  ].flatMap((kind) =>
    fitted(place, withGroup(likeliest?.rest ?? without.model, group), {
      time: from.time,
      kind,
      group: base.logSmoothness.length,
    }),
  );
  const all = [...shared, ...own];
  const bestBare = Math.min(...all.map(({ fit }) => fit.score));
  for (const one of all) {
    if (one.fit.score - bestBare > MOST_WORSE) continue;
    readings.push(weighed(place, base, one));
  }
  return readings.sort((a, b) => a.score - b.score);
}

interface Fitted {
  readonly change: Change;
  readonly fit: SmoothnessFit;
  /** The model less the change. */
  readonly rest: CurveModel;
}

/** A change with time and smoothness at their likeliest. */
function fitted({ record, stretch, errors }: Place, base: CurveModel, change: Change): readonly Fitted[] {
  const [low, high] = bounds(record, stretch, base, change.time);
  if (!(high > low) || !groupsAreWide(record, withChange(base, change))) return [];
  const fitAt = (model: CurveModel, rounds: number) => smoothnessFit(record, model, stretch, errors, rounds);
  // The curve may be held far more stiffly once the change is there: from the smoothness without it, the
  // likelihood may have a lesser maximum in between.
  const starts = [base, ...stiffer(base)].flatMap((one) => fitAt(withChange(one, change), 3) ?? []);
  if (starts.length === 0) return [];
  let fit = starts.reduce((best, one) => (one.score < best.score ? one : best));
  let now = change;
  for (let round = 0; round < 2; round++) {
    const rest: CurveModel = { ...base, logSmoothness: fit.model.logSmoothness };
    const scoreAt = (time: number): number =>
      scoreOf(record, withChange(rest, { ...now, time }), stretch, errors)?.score ?? Number.POSITIVE_INFINITY;
    now = { ...now, time: leastNear(scoreAt, now.time, round === 0 ? 1 : 0.3, low, high) };
    const next = fitAt(withChange(rest, now), round === 0 ? 4 : 2);
    if (next === null) return [];
    fit = next;
  }
  if (!groupsAreWide(record, withChange(base, now))) return [];
  return [{ change: now, fit, rest: { ...base, logSmoothness: fit.model.logSmoothness } }];
}

/** The same model much stiffer, as far as it is loose enough for that to be another start. */
function stiffer(model: CurveModel): readonly CurveModel[] {
  const loose = Math.max(...model.logSmoothness);
  if (loose < LOOSE) return [];
  return [{ ...model, logSmoothness: model.logSmoothness.map((log) => log - MUCH_STIFFER) }];
}

const LOOSE = -9; // smoothing reaches over four samples or fewer
const MUCH_STIFFER = 9;

function weighed(place: Place, base: CurveModel, { change, fit, rest }: Fitted): Reading {
  const isOwn = change.group === base.logSmoothness.length;
  const looks = isOwn ? (fit.looks[change.group] ?? 0) : null;
  const { before, after, penalty } = changePenalty(place, rest, change, looks);
  return { change, model: fit.model, score: fit.score + penalty, before, after };
}

/**
 * What a change costs beforehand, as -2 log: for its time anywhere in the record, given how far its
 * likelihood reaches, for its kind, and for a smoothness of its own.
 * @param rest the model without it; @param looks at its own smoothness, null where it shares another's
 */
export function changePenalty(
  { record, stretch, errors }: Place,
  rest: CurveModel,
  change: Change,
  looks: number | null,
): { readonly before: number; readonly after: number; readonly penalty: number } {
  const scoreAt = (time: number) =>
    scoreOf(record, withChange(rest, { ...change, time }), stretch, errors)?.score ??
    Number.POSITIVE_INFINITY;
  const here = scoreAt(change.time);
  const [low, high] = bounds(record, stretch, rest, change.time);
  const before = Math.max(0, Math.min(reachOf(scoreAt, change.time, here, 0.5, -1), change.time - low));
  const after = Math.max(0, Math.min(reachOf(scoreAt, change.time, here, 0.5, 1), high - change.time));
  const span = record.times[record.times.length - 1] - record.times[0];
  const places = span / (Math.sqrt(Math.PI / 2) * Math.max(before + after, 1e-3));
  const known = Math.sqrt((2 * Math.PI * 2) / Math.max(looks ?? 0, 0.25));
  const freedom = looks === null ? 0 : 2 * Math.log(Math.max(LOG_SMOOTHNESS_RANGE / known, 1));
  const choice = -2 * Math.log(change.kind === "smoothness" ? SMOOTHNESS_ONLY : JUMP_OF_KIND);
  return { before, after, penalty: 2 * Math.log(places) + choice + freedom };
}

const JUMPS: readonly ChangeKind[] = ["acceleration", "rate", "value"];

const JUST_AFTER = 1e-6; // of a spacing: a change at a sample's very time is before it

/** A change keeps off its neighbours and the ends by a sample, so that there is something between. */
export function bounds(
  { times }: CurveRecord,
  { from, to }: Stretch,
  { changes }: CurveModel,
  time: number,
): readonly [number, number] {
  const previous = changes.findLast((change) => change.time < time)?.time ?? Number.NEGATIVE_INFINITY;
  const next = changes.find((change) => change.time > time)?.time ?? Number.POSITIVE_INFINITY;
  const low = Math.max(from + 1, firstSampleFrom(times, previous));
  const high = Math.min(to - 2, firstSampleFrom(times, next) - 1);
  return [times[low] + JUST_AFTER, times[high]];
}

/** Whether each group that occurs has samples enough. */
export function groupsAreWide({ times }: CurveRecord, { changes, logSmoothness }: CurveModel): boolean {
  const samples = logSmoothness.map(() => 0);
  const starts = [0, ...changes.map(({ time }) => firstSampleFrom(times, time)), times.length];
  for (let i = 0; i + 1 < starts.length; i++)
    samples[i === 0 ? 0 : changes[i - 1].group] += starts[i + 1] - starts[i];
  return samples.every((count) => count === 0 || count >= LEAST_OF_GROUP);
}

export function groupBefore({ changes }: CurveModel, time: number): number {
  return changes.findLast((change) => change.time < time)?.group ?? 0;
}

export function withChange(model: CurveModel, change: Change): CurveModel {
  const at = model.changes.findIndex(({ time }) => time > change.time);
  const changes = at < 0 ? [...model.changes, change] : model.changes.toSpliced(at, 0, change);
  return { ...model, changes };
}

function withGroup(model: CurveModel, like: number): CurveModel {
  return { ...model, logSmoothness: [...model.logSmoothness, model.logSmoothness[like]] };
}

function leastOf(all: readonly Fitted[]): Fitted | null {
  return all.reduce<Fitted | null>(
    (best, one) => (best === null || one.fit.score < best.fit.score ? one : best),
    null,
  );
}
