import { type Candidate, changeCandidates } from "./change-candidates.ts";
import type { ErrorVariance, Score } from "./curve-likelihood.ts";
import { scoreFrom } from "./curve-likelihood.ts";
import type { Change, CurveModel, CurveRecord } from "./curve-model.ts";
import { type Stretch, stretchAbout } from "./curve-steps.ts";
import { groupBefore, judgeChange, type Place, type Reading, withChange } from "./judge-change.ts";
import { pass } from "./smooth-both-ways.ts";
import { smoothnessFit } from "./smoothness-fit.ts";

/** A model with its change points, and every reading of each place where one is or might be. */
export interface SearchedCurve extends Score {
  readonly model: CurveModel;
  readonly looks: readonly number[];
  readonly places: readonly JudgedPlace[];
}

export interface JudgedPlace {
  readonly place: Place;
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
  const whole: Stretch = { from: 0, to: record.times.length };
  let fit = smoothnessFit(record, start, whole, errors, 6);
  if (fit === null) return null;
  const firstVariance = fit.variance;
  let doubtful: readonly JudgedPlace[] = [];
  let jumpsOnly = true;
  for (let round = 0; round < mostRounds; round++) {
    const passed = pass(record, fit.model, whole);
    if (passed === null) return null;
    const { variance } = scoreFrom(passed.filtered, errors, record.leastVariance);
    let model: CurveModel = fit.model;
    const candidates = apartFrom(model, changeCandidates(record.times, model, passed, variance));
    const judged: JudgedPlace[] = [];
    for (const { time } of candidates) {
      const place = placeOf(record, model, time, errors, variance);
      const readings = shares(judgeChange(place, model, time, jumpsOnly));
      const best = readings[0];
      if (best === undefined) continue;
      if (best.change === null) judged.push({ place, change: null, readings });
      else model = adopted(model, best);
    }
    if (model === fit.model) {
      doubtful = judged;
      const two = jumpsOnly ? pairOfJumps(record, fit.model, errors, judged) : null;
      if (two === null) {
        if (!jumpsOnly) break;
        jumpsOnly = false; // first all jumps: what a jump explains is no change of smoothness
        continue;
      }
      model = two;
    }
    const next = smoothnessFit(record, compacted(model), whole, errors, 5);
    if (next === null) break;
    // The errors shrink as changes are found; what jumps are expected to be stays.
    const jumps = start.jumps.map(
      (v) => (v * firstVariance) / next.variance,
    ) as unknown as CurveModel["jumps"];
    fit = { ...next, model: { ...next.model, jumps } };
  }
  const settled = judgedAgain(record, fit.model, errors, fit.variance);
  const last = smoothnessFit(record, settled.model, whole, errors, 6);
  if (last === null) return null;
  const might = doubtful.filter(({ readings }) =>
    readings.some(({ change, share }) => change && share > LEAST_SHARE),
  );
  return { ...last, places: [...settled.places, ...might] };
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

/** Each change judged beside the others, twice where the first time altered something. */
function judgedAgain(
  record: CurveRecord,
  from: CurveModel,
  errors: ErrorVariance,
  variance: number,
): { readonly model: CurveModel; readonly places: readonly JudgedPlace[] } {
  let model = from;
  let places: JudgedPlace[] = [];
  for (let round = 0; round < 2; round++) {
    places = [];
    let altered = false;
    for (const change of model.changes) {
      const base: CurveModel = { ...model, changes: model.changes.filter((one) => one.time !== change.time) };
      const place = placeOf(record, base, change.time, errors, variance);
      const readings = shares(judgeChange(place, compacted(base), change.time, false));
      const best = readings[0];
      if (best === undefined) continue;
      const isOwn = change.group !== groupBefore(base, change.time);
      const asBefore =
        best.change?.kind === change.kind && isOwn === (best.change.group !== groupBefore(base, change.time));
      if (!asBefore) altered = true;
      const next = best.change === null ? base : adopted(compacted(base), best);
      places.push({ place, change: best.change, readings });
      model = compacted(next);
    }
    if (!altered) break;
  }
  return { model, places: places.filter(({ readings }) => readings.length > 1) };
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
