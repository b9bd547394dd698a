import { type BusyRun, busyRuns } from "./busy-runs.ts";
import { type Candidate, changeCandidates } from "./change-candidates.ts";
import type { ErrorVariance, Score } from "./curve-likelihood.ts";
import type { Change, CurveModel, CurveRecord } from "./curve-model.ts";
import { type Stretch, stretchAbout } from "./curve-steps.ts";
import { groupBefore, judgeChange, type Place, type Reading, withChange } from "./judge-change.ts";
import { pass } from "./smooth-both-ways.ts";
import { type SmoothnessFit, smoothnessFit } from "./smoothness-fit.ts";

/** A model with its change points, and every reading of each place where one is or might be. */
export interface SearchedCurve extends Score {
  readonly model: CurveModel;
  readonly looks: readonly number[];
  readonly places: readonly JudgedPlace[];
}

export interface JudgedPlace {
  readonly place: Place;
  /** Where the judging began. */
  readonly time: number;
  /** The change that the model has here; null where it has none. */
  readonly change: Change | null;
  /** Likeliest first; their shares sum to 1. */
  readonly readings: readonly (Reading & { readonly share: number })[];
}

const MOST_ROUNDS = 60;
const PER_ROUND = 4;
const [LEAST_WINDOW, MOST_WINDOW] = [120, 2500]; // samples to each side
const WINDOW = 20; // in units of how far the curve's smoothing reaches
const LEAST_SHARE = 0.01;

/**
 * Adds change points where the samples want them, the most wanted first, until none is likelier than not;
 * then judges each again beside the others, and takes out or changes what no longer stands. Each place is
 * judged on its own stretch of samples, so the cost is in proportion to samples and change points.
 */
export function searchChanges(
  record: CurveRecord,
  start: CurveModel,
  errors: ErrorVariance,
  mostRounds = MOST_ROUNDS,
): SearchedCurve | null {
  const grown = grownModel(record, start, errors, mostRounds);
  if (grown === null) return null;
  const whole: Stretch = { from: 0, to: record.times.length };
  const fitted = (model: CurveModel) => smoothnessFit(record, model, whole, errors, 6);
  let fit = fitted(judgedAgain(record, grown.model, errors, grown.variance));
  let runs = fit === null ? [] : runsOf(record, fit, errors);
  for (
    let round = 0;
    fit !== null && round < mostRounds && runs[0] !== undefined && runs[0].score < 0;
    round++
  ) {
    fit = fitted(compacted(runs[0].busy));
    runs = fit === null ? [] : runsOf(record, fit, errors);
  }
  for (let round = 0; fit !== null && round <= MOST_WEAK; round++) {
    const { model, variance } = fit;
    const places = placesOf(record, model, grown.doubtful, errors, variance);
    const weak = places.find(({ change, readings }) => change !== null && readings[0].change === null);
    if (weak === undefined || weak.change === null || round === MOST_WEAK) {
      return { ...fit, places: [...places, ...runs.map((run) => placeOfRun(model, run))] };
    }
    fit = fitted(compacted(without(model, weak.change)));
    runs = fit === null ? [] : runsOf(record, fit, errors);
  }
  return null;
}

const MOST_WEAK = 5; // changes taken out because, beside the final others, none is likelier

interface GrownModel {
  readonly model: CurveModel;
  readonly variance: number;
  /** Times at which there might be one more change. */
  readonly doubtful: readonly number[];
}

/** Change points added until none more is likelier than not. */
function grownModel(
  record: CurveRecord,
  start: CurveModel,
  errors: ErrorVariance,
  mostRounds: number,
): GrownModel | null {
  const whole: Stretch = { from: 0, to: record.times.length };
  let fit = smoothnessFit(record, start, whole, errors, 6);
  if (fit === null) return null;
  const firstVariance = fit.variance;
  let doubtful: readonly number[] = [];
  let jumpsOnly = true;
  for (let round = 0; round < mostRounds; round++) {
    const { model, judged } = oneRound(record, fit, errors, jumpsOnly);
    doubtful = judged.map(({ time }) => time);
    const isSame = model === fit.model;
    const two = isSame && jumpsOnly ? pairOfJumps(record, model, errors, judged) : null;
    if (isSame && two === null) {
      if (!jumpsOnly) break;
      jumpsOnly = false; // first all jumps: what a jump explains is no change of smoothness
      continue;
    }
    const next = smoothnessFit(record, compacted(two ?? model), whole, errors, 5);
    if (next === null) break;
    // The errors shrink as changes are found; what jumps are expected to be stays.
    const scale = firstVariance / next.variance;
    const [value, rate, acceleration] = start.jumps;
    fit = { ...next, model: { ...next.model, jumps: [scale * value, scale * rate, scale * acceleration] } };
  }
  return { model: fit.model, variance: fit.variance, doubtful };
}

/** The best candidates judged; those that are likelier than none are in the model at the end. */
function oneRound(
  record: CurveRecord,
  fit: SmoothnessFit,
  errors: ErrorVariance,
  jumpsOnly: boolean,
): { readonly model: CurveModel; readonly judged: readonly JudgedPlace[] } {
  let { model } = fit;
  const judged: JudgedPlace[] = [];
  const passed = pass(record, model, { from: 0, to: record.times.length });
  if (passed === null) return { model, judged };
  for (const { time } of apartFrom(model, changeCandidates(record.times, model, passed, fit.variance))) {
    const place = placeOf(record, model, time, errors, fit.variance);
    const readings = shares(judgeChange(place, model, time, jumpsOnly));
    const best = readings[0];
    if (best === undefined) continue;
    if (best.change === null) judged.push({ place, time, change: null, readings });
    else model = adopted(model, best);
  }
  return { model, judged };
}

/** A run of changes as the model has it, and as one busy stretch. */
function placeOfRun(model: CurveModel, { place, first, busy, score }: BusyRun): JudgedPlace {
  const share = 1 / (1 + Math.exp(score / 2));
  const reading = { change: null, score: 0, before: 0, after: 0 };
  return {
    place,
    time: first.time,
    change: null,
    readings: [
      { ...reading, model, share: 1 - share },
      { ...reading, model: busy, share },
    ],
  };
}

/** Runs of changes that may be one busy stretch, the likeliest to be one first. */
function runsOf(
  record: CurveRecord,
  { model, variance }: SmoothnessFit,
  errors: ErrorVariance,
): readonly BusyRun[] {
  return busyRuns(record, model, errors, variance, (time) => windowAt(model, time)).toSorted(
    (a, b) => a.score - b.score,
  );
}

/**
 * Two jumps of which neither is likely without the other, a push between rest and flight: while one is
 * missing the curve is held too loosely for the other to matter.
 */
function pairOfJumps(
  record: CurveRecord,
  from: CurveModel,
  errors: ErrorVariance,
  judged: readonly JudgedPlace[],
): CurveModel | null {
  const whole: Stretch = { from: 0, to: record.times.length };
  const firsts = judged
    .flatMap(({ readings }) => {
      const first = readings.find(({ change }) => change !== null && change.kind !== "smoothness");
      const none = readings.find(({ change }) => change === null);
      return first && none ? [{ first, loss: first.score - none.score }] : [];
    })
    .filter(({ loss }) => loss < MOST_LOSS)
    .sort((a, b) => a.loss - b.loss)
    .slice(0, 2);
  for (const { first, loss } of firsts) {
    const fit = smoothnessFit(record, compacted(adopted(from, first)), whole, errors, 5);
    const passed = fit && pass(record, fit.model, whole);
    if (!passed) continue;
    const candidates = apartFrom(fit.model, changeCandidates(record.times, fit.model, passed, fit.variance));
    for (const { time } of candidates.slice(0, 2)) {
      const place = placeOf(record, fit.model, time, errors, fit.variance);
      const readings = judgeChange(place, fit.model, time, true);
      const none = readings.find(({ change }) => change === null);
      const [best] = readings;
      if (best?.change && none && best.score - none.score + loss < 0) return adopted(fit.model, best);
    }
  }
  return null;
}

const MOST_LOSS = 25; // -2 log odds that a second jump may make up for

/** The model once each change was judged beside the others, twice where the first time altered something. */
function judgedAgain(
  record: CurveRecord,
  from: CurveModel,
  errors: ErrorVariance,
  variance: number,
): CurveModel {
  let model = from;
  for (let round = 0; round < 2; round++) {
    let altered = false;
    for (const { time } of model.changes) {
      const change = model.changes.find((one) => one.time === time);
      if (change === undefined) continue;
      const base = compacted(without(model, change));
      const [best] = shares(judgeChange(placeOf(record, base, time, errors, variance), base, time, false));
      if (best === undefined) continue;
      if (!isReadingOf(best, change, model, base)) altered = true;
      model = compacted(adopted(base, best));
    }
    if (!altered) break;
  }
  return model;
}

/**
 * Every place where a change is or might be, judged about one and the same model: the reading that the
 * model has itself is the model, the others are what else it might be there.
 */
function placesOf(
  record: CurveRecord,
  model: CurveModel,
  doubtful: readonly number[],
  errors: ErrorVariance,
  variance: number,
): readonly JudgedPlace[] {
  const places: JudgedPlace[] = [];
  const judged = (time: number, change: Change | null) => {
    const base = change === null ? model : without(model, change);
    const place = placeOf(record, base, time, errors, variance);
    const readings = judgeChange(place, base, time, false).map((reading) =>
      isReadingOf(reading, change, model, base) ? { ...reading, change, model } : reading,
    );
    const least = Math.min(...readings.map(({ score }) => score));
    const own = { change, model, score: least, before: 0.5, after: 0.5 };
    const all = readings.some((reading) => reading.model === model) ? readings : [...readings, own];
    if (all.length > 1)
      places.push({ place, time, change, readings: shares(all.toSorted((a, b) => a.score - b.score)) });
  };
  for (const change of model.changes) judged(change.time, change);
  for (const time of doubtful) {
    if (model.changes.every((change) => Math.abs(change.time - time) > 1.5)) judged(time, null);
  }
  return places.filter(
    ({ change, readings }) =>
      change !== null || readings.some((one) => one.change !== null && one.share > LEAST_SHARE),
  );
}

function without(model: CurveModel, change: Change): CurveModel {
  return { ...model, changes: model.changes.filter((one) => one.time !== change.time) };
}

/** Whether a reading is what the model has: the same kind and, of a jump, a smoothness of its own or none. */
function isReadingOf(reading: Reading, change: Change | null, model: CurveModel, base: CurveModel): boolean {
  if (change === null || reading.change === null) return change === reading.change;
  if (change.kind === "smoothness") return reading.change.kind === "smoothness";
  const isOwn = change.group !== groupBefore(model, change.time);
  return reading.change.kind === change.kind && isOwn === reading.change.group >= base.logSmoothness.length;
}

function placeOf(
  record: CurveRecord,
  model: CurveModel,
  time: number,
  errors: ErrorVariance,
  variance: number,
): Place {
  const stretch = stretchAbout(record.times, time, windowAt(model, time));
  const isWhole = stretch.from === 0 && stretch.to === record.times.length;
  return { record, stretch, errors: isWhole ? errors : variance };
}

/** Samples to each side of a time that bear on what is said there. */
export function windowAt(model: CurveModel, time: number): number {
  return Math.min(Math.max(LEAST_WINDOW, Math.ceil(WINDOW * reachAt(model, time))), MOST_WINDOW);
}

/** How far smoothing reaches, in spacings: the sixth root of errors over wandering. */
function reachAt(model: CurveModel, time: number): number {
  return Math.exp(-model.logSmoothness[groupBefore(model, time)] / 6);
}

/** The best candidates that lie apart from each other and from the model's changes. */
function apartFrom(model: CurveModel, candidates: readonly Candidate[]): readonly Candidate[] {
  const taken = model.changes.map(({ time }) => time);
  const chosen: Candidate[] = [];
  for (const one of candidates) {
    const reach = Math.min(Math.max(3, reachAt(model, one.time)), 60);
    if (chosen.length >= PER_ROUND || !(one.gain > 0)) break;
    const near = (time: number, by: number) => Math.abs(time - one.time) < by;
    if (taken.some((time) => near(time, 1.5)) || chosen.some(({ time }) => near(time, 2 * reach))) continue;
    chosen.push(one);
  }
  return chosen;
}

function adopted(base: CurveModel, { change, model }: Reading): CurveModel {
  if (change === null) return base;
  const isOwn = change.group >= base.logSmoothness.length;
  const logSmoothness = isOwn
    ? [...base.logSmoothness, model.logSmoothness[change.group]]
    : base.logSmoothness;
  return withChange({ ...base, logSmoothness }, change);
}

/** The same model without groups that nothing uses, in order of first use. */
function compacted(model: CurveModel): CurveModel {
  const used = [...new Set([0, ...model.changes.map(({ group }) => group)])];
  return {
    ...model,
    changes: model.changes.map((change) => ({ ...change, group: used.indexOf(change.group) })),
    logSmoothness: used.map((group) => model.logSmoothness[group]),
  };
}

function shares(readings: readonly Reading[]): JudgedPlace["readings"] {
  const least = Math.min(...readings.map(({ score }) => score));
  const weights = readings.map(({ score }) => Math.exp((least - score) / 2));
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  return readings.map((reading, i) => ({ ...reading, share: weights[i] / total }));
}
