import { medianOf } from "../numeric/order-statistics.ts";
import type { Measured } from "../quantity/measured.ts";
import { ok, type Result, refuse } from "../quantity/result.ts";
import { type SearchedCurve, searchChanges } from "./change-search.ts";
import type { ErrorVariance } from "./curve-likelihood.ts";
import { type MixedChange, type MixedCurve, mixedCurve } from "./curve-mixture.ts";
import { type ChangeKind, type CurveModel, type CurveRecord, LOWEST_JUMP } from "./curve-model.ts";
import { likeliestLag } from "./error-lag.ts";
import { smoothBothWays } from "./smooth-both-ways.ts";
import { scannedSmoothness } from "./smoothness-fit.ts";
import { unresolvedAt } from "./unresolved-jumps.ts";

/** One value at a time, with its standard uncertainty where that is known. */
export interface CurveSample {
  readonly time: number;
  readonly value: number;
  readonly u?: number;
}

export interface CurveOptions {
  /**
   * White errors, errors that last (correlated from sample to sample), or whichever the samples make clear.
   */
  readonly errors?: "white" | "lasting" | "auto";
  /** False: one smoothness for all and no jump anywhere. */
  readonly changes?: boolean;
}

/** The curve at one of the samples' times; null: not determined by the samples. */
export interface CurvePoint {
  readonly time: number;
  readonly value: Measured;
  readonly rate: Measured | null;
  readonly acceleration: Measured | null;
}

/** Where value, rate or acceleration jumps, or the smoothness changes. */
export interface CurveChange {
  readonly time: Measured;
  readonly kind: ChangeKind;
  /** How likely a change here is beside none. */
  readonly probability: number;
  /** Of value, rate and acceleration, from before to after; null for one that does not jump. */
  readonly jumps: readonly (Measured | null)[];
}

export interface CurveEstimate {
  /** At each distinct time, in order. */
  readonly points: readonly CurvePoint[];
  readonly changes: readonly CurveChange[];
  readonly errors: {
    /** Standard deviation of an error; of the stated u a factor by which they should be multiplied. */
    readonly size: number;
    readonly stated: boolean;
    /** Correlation of errors a median spacing apart; 0: white. */
    readonly lag: number;
  };
  /** Distinct times. */
  readonly samples: number;
}

/** Distinct times below which value, rate and acceleration with their u are not to be had, u being stated. */
export const LEAST_SAMPLES = 6;
/** The same where the errors' size is found too: of fewer, errors and curve are not to be told apart. */
const LEAST_FOR_SIZE = 16;
const CLEAR_LAG = 2.5 ** 2; // of -2 log likelihood: 2.5 standard deviations, as for marks
const LIKELY = 0.5;
const WITHHELD = 1 / 9; // of the variance a jump has before it is seen: what is left is then guessed, not measured
const SEEN_CHANCE = 0.05;
const WITHIN = 4; // a curve may go through all of its values within a quarter of the record
const SAME_TIME = 1e-6; // of the mean spacing
const DIGITS = 1e-6; // of the values' spread: no error is taken to be smaller

/**
 * One coordinate against time: value, rate and acceleration at each sample with standard uncertainties, and
 * change points found in the samples (Wahba 1978, Wecker & Ansley 1983; see curve-model.ts and
 * docs/decisions/curve.md). Any unit; times may be uneven and in any order, values at one time (to a
 * millionth of the spacing) are averaged. Cost in proportion to samples and change points.
 * @returns refusals "too-few" (distinct, needed), "constant" where no value differs from another
 * @throws RangeError for a time, value or u that is not finite, a u of 0 or less, or u given for some only
 */
export function estimateCurve(
  samples: readonly CurveSample[],
  options: CurveOptions = {},
): Result<CurveEstimate, "too-few" | "constant"> {
  const merged = mergedSamples(samples);
  const stated = samples.every(({ u }) => u !== undefined);
  const tooFew = refuse("too-few", {
    distinct: merged.times.length,
    needed: stated ? LEAST_SAMPLES : LEAST_FOR_SIZE,
  });
  if (merged.times.length < tooFew.numbers.needed) return tooFew;
  const scaled = scaledRecord(merged);
  const { record } = scaled;
  if (!stated && record.values.every((value) => value === record.values[0])) return refuse("constant");
  const found = foundCurve(record, options, stated ? 1 : "found");
  if (found === null) return tooFew;
  return ok(inUnits(merged, scaled, found, stated));
}

interface FoundCurve {
  readonly searched: SearchedCurve;
  readonly mixed: MixedCurve;
}

function foundCurve(
  record: CurveRecord,
  { errors = "auto", changes = true }: CurveOptions,
  variance: ErrorVariance,
): FoundCurve | null {
  const searchedWith = (lag: number) => {
    const start = startModel(record, lag, variance);
    if (start === null) return null;
    return changes ? searchChanges(record, start, variance) : searchChanges(record, start, variance, 0);
  };
  let searched = searchedWith(0);
  const isExact = searched !== null && searched.variance <= record.leastVariance;
  if (searched !== null && errors !== "white" && !isExact) {
    const lasting = likeliestLag(record, searched.model, variance);
    const isClear = lasting !== null && searched.score - lasting.score > CLEAR_LAG;
    if (lasting !== null && lasting.lag > 0 && (isClear || errors === "lasting"))
      searched = searchedWith(lasting.lag);
  }
  const mixed = searched && mixedCurve(record, searched, variance);
  if (searched === null || mixed === null || !mixed.variances.every(Number.isFinite)) return null;
  return { searched, mixed };
}

/** One smoothness for all; jumps are expected of the size that the curve's derivatives span. */
function startModel(record: CurveRecord, lag: number, errors: ErrorVariance): CurveModel | null {
  const plain: CurveModel = { changes: [], logSmoothness: [0], lag, jumps: [1, 1, 1] };
  const whole = { from: 0, to: record.times.length };
  const fit = scannedSmoothness(record, plain, whole, errors);
  const states = fit && smoothBothWays(record, fit.model, whole);
  if (!fit || !states) return null;
  // A first curve that is smoothed too much has too little rate and acceleration.
  const values =
    record.values.reduce((most, value) => Math.max(most, value), Number.NEGATIVE_INFINITY) -
    record.values.reduce((least, value) => Math.min(least, value), Number.POSITIVE_INFINITY);
  const length = record.times[record.times.length - 1];
  const jumps = ([0, 1, 2] as const).map((k) => {
    let [low, high, most] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY, 0];
    for (let i = k; i < states.means.length; i += 3) {
      low = Math.min(low, states.means[i]);
      high = Math.max(high, states.means[i]);
      most = Math.max(most, states.variances[i]);
    }
    const span = k === 0 ? high - low : Math.max(high - low, values / (length / WITHIN) ** k);
    return Math.max(span ** 2 / fit.variance, most);
  });
  return { ...fit.model, jumps: jumps as unknown as CurveModel["jumps"] };
}

interface Merged {
  readonly times: Float64Array;
  readonly values: Float64Array;
  /** Over the errors' size, or in the value's unit where stated. */
  readonly sizes: Float64Array;
}

function mergedSamples(samples: readonly CurveSample[]): Merged {
  const withU = samples.filter(({ u }) => u !== undefined).length;
  if (withU !== 0 && withU !== samples.length) {
    throw new RangeError(`estimateCurve: need u for all samples or none; got ${withU} of ${samples.length}`);
  }
  for (const { time, value, u } of samples) {
    if (
      !Number.isFinite(time) ||
      !Number.isFinite(value) ||
      !(u === undefined || (u > 0 && Number.isFinite(u)))
    ) {
      throw new RangeError(`estimateCurve: need finite samples with u > 0; got ${time}, ${value}, ${u}`);
    }
  }
  const sorted = [...samples].sort((a, b) => a.time - b.time);
  const near = (SAME_TIME * ((sorted.at(-1)?.time ?? 0) - (sorted[0]?.time ?? 0))) / sorted.length;
  const [times, values, sizes]: [number[], number[], number[]] = [[], [], []];
  for (let i = 0; i < sorted.length; ) {
    const { time } = sorted[i];
    let [weight, sum] = [0, 0];
    for (; i < sorted.length && sorted[i].time - time <= near; i++) {
      const w = 1 / (sorted[i].u ?? 1) ** 2;
      weight += w;
      sum += w * sorted[i].value;
    }
    times.push(time);
    values.push(sum / weight);
    sizes.push(1 / Math.sqrt(weight));
  }
  return {
    times: Float64Array.from(times),
    values: Float64Array.from(values),
    sizes: Float64Array.from(sizes),
  };
}

interface Scaled {
  readonly record: CurveRecord;
  readonly spacing: number;
  readonly middle: number;
}

function scaledRecord({ times, values, sizes }: Merged): Scaled {
  const gaps = Array.from(times.subarray(1), (t, i) => t - times[i]);
  const spacing = medianOf(gaps);
  const middle = values.reduce((sum, value) => sum + value / values.length, 0);
  const about = values.map((value) => value - middle);
  const square = about.reduce((sum, value) => sum + value * value, 0) / about.length;
  const record = {
    times: times.map((t) => (t - times[0]) / spacing),
    values: about,
    sizes,
    leastVariance: Math.max(DIGITS ** 2 * square, Number.MIN_VALUE),
  };
  return { record, spacing, middle };
}

function inUnits(
  { times }: Merged,
  { record, spacing, middle }: Scaled,
  { searched, mixed }: FoundCurve,
  stated: boolean,
): CurveEstimate {
  const { variance, freedom, model } = searched;
  // An error size found from few samples is itself in doubt: Student's variance over the normal's.
  const doubt = stated ? 1 : Math.max(freedom, 3) / (Math.max(freedom, 3) - 2);
  const measured = (mean: number, v: number, power: number): Measured => ({
    value: mean / spacing ** power,
    u: Math.sqrt(doubt * v) / spacing ** power,
  });
  const lowest = Math.min(
    3,
    ...mixed.changes.filter(({ share }) => share > SEEN_CHANCE).map(({ kind }) => LOWEST_JUMP[kind]),
  );
  const isGuessed = (v: number, k: 1 | 2) => k >= lowest && v > WITHHELD * model.jumps[k] * variance;
  const points = Array.from(times, (time, i): CurvePoint => {
    const open = unresolvedAt(record.times[i], mixed.changes, variance);
    const all = ([0, 1, 2] as const).map((k) => mixed.variances[3 * i + k] + open.variances[k]);
    const at = (k: 0 | 1 | 2) => measured(mixed.means[3 * i + k], all[k], k);
    const told = (k: 1 | 2) => (k >= open.lowest || isGuessed(all[k], k) ? null : at(k));
    return { time, value: { ...at(0), value: at(0).value + middle }, rate: told(1), acceleration: told(2) };
  });
  const changeOf = ({ kind, share, time, timeVariance, jumps }: MixedChange): CurveChange => ({
    time: { value: times[0] + spacing * time, u: spacing * Math.sqrt(timeVariance) },
    kind,
    probability: share,
    jumps: jumps.map((jump, k) => jump && measured(jump.mean, jump.variance, k)),
  });
  return {
    points,
    changes: mixed.changes.filter(({ share }) => share > LIKELY).map(changeOf),
    errors: { size: Math.sqrt(variance), stated, lag: model.lag },
    samples: times.length,
  };
}
