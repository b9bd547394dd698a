import { type JudgedPlace, type SearchedCurve, windowAt } from "./change-search.ts";
import type { ErrorVariance } from "./curve-likelihood.ts";
import { type ChangeKind, type CurveModel, type CurveRecord, LOWEST_JUMP } from "./curve-model.ts";
import { type Part, placeParts, smoothnessParts, stretchOfGroup } from "./curve-parts.ts";
import type { Stretch } from "./curve-steps.ts";
import { pass, smoothBothWays } from "./smooth-both-ways.ts";

/** The curve with everything that the samples leave open integrated over; variances in the value's unit. */
export interface MixedCurve {
  /** [3 n]: value, rate, acceleration at each sample, and their variances. */
  readonly means: Float64Array;
  readonly variances: Float64Array;
  readonly changes: readonly MixedChange[];
}

export interface MixedChange {
  readonly kind: ChangeKind;
  /** Probability of there being a change here at all. */
  readonly share: number;
  readonly time: number;
  readonly timeVariance: number;
  /** By how much value, rate and acceleration jump; null where that derivative does not. */
  readonly jumps: readonly ({ readonly mean: number; readonly variance: number } | null)[];
}

/**
 * Means and variances over every reading of each change point, over its time and over each smoothness; each
 * of these is moved by itself about the model, and what each adds is summed. What a change adds is worked
 * out on its own stretch of samples.
 * @returns null when the samples do not settle value, rate and acceleration
 */
export function mixedCurve(
  record: CurveRecord,
  found: SearchedCurve,
  errors: ErrorVariance,
): MixedCurve | null {
  const { model, variance } = found;
  const whole: Stretch = { from: 0, to: record.times.length };
  const centre = smoothBothWays(record, model, whole);
  if (centre === null) return null;
  const sum: Sum = {
    means: Float64Array.from(centre.means),
    variances: centre.variances.map((v) => variance * v),
  };
  const changes: MixedChange[] = [];
  for (const judged of found.places) {
    const parts = placeParts(judged);
    addParts(record, model, judged.place.stretch, parts, variance, sum);
    const change = mixedChange(record, judged, parts);
    if (change !== null) changes.push(change);
  }
  model.logSmoothness.forEach((_, group) => {
    const first = group === 0 ? 0 : (model.changes.find((change) => change.group === group)?.time ?? 0);
    const stretch = stretchOfGroup(record, model, group, windowAt(model, first));
    const isWhole = stretch.to - stretch.from === record.times.length;
    const parts = smoothnessParts(record, found, group, stretch, isWhole ? errors : variance);
    addParts(record, model, stretch, parts, variance, sum);
  });
  const least = centre.variances.map((v) => LEAST_LEFT * variance * v);
  return {
    means: sum.means,
    variances: sum.variances.map((v, i) => Math.max(v, least[i])),
    changes: changes.sort((a, b) => a.time - b.time),
  };
}

/** Of the model's own variance: sums of differences may not take more away. */
const LEAST_LEFT = 0.5;

interface Sum {
  readonly means: Float64Array;
  readonly variances: Float64Array;
}

/** Adds by how much mean and variance over the parts differ from the model's, over a stretch. */
function addParts(
  record: CurveRecord,
  model: CurveModel,
  stretch: Stretch,
  parts: readonly Part[],
  variance: number,
  sum: Sum,
): void {
  const centre = smoothBothWays(record, model, stretch);
  if (centre === null || parts.length < 2) return;
  const total = parts.reduce((all, { weight }) => all + weight, 0);
  const size = centre.means.length;
  const [apart, square] = [new Float64Array(size), new Float64Array(size)];
  for (const part of parts) {
    const states = smoothBothWays(record, part.model, stretch);
    if (states === null) return;
    const weight = part.weight / total;
    for (let i = 0; i < size; i++) {
      const difference = states.means[i] - centre.means[i];
      apart[i] = apart[i] + weight * difference;
      square[i] = square[i] + weight * (part.variance * states.variances[i] + difference * difference);
    }
  }
  const at = 3 * stretch.from;
  for (let i = 0; i < size; i++) {
    sum.means[at + i] = sum.means[at + i] + apart[i];
    sum.variances[at + i] =
      sum.variances[at + i] + square[i] - apart[i] * apart[i] - variance * centre.variances[i];
  }
}

/** What is said of a change: of the kind that is likeliest there, over the times it may have. */
function mixedChange(
  record: CurveRecord,
  { place, change, readings }: JudgedPlace,
  parts: readonly Part[],
): MixedChange | null {
  if (change === null) return null;
  const share = readings.reduce((sum, one) => sum + (one.change === null ? 0 : one.share), 0);
  const same = parts.filter((part) => part.change?.kind === change.kind);
  if (same.length === 0) return null;
  const total = same.reduce((sum, { weight }) => sum + weight, 0);
  const mean = (of: (part: Part) => number) =>
    same.reduce((sum, part) => sum + part.weight * of(part), 0) / total;
  const time = mean((part) => part.change?.time ?? 0);
  const spread = mean((part) => ((part.change?.time ?? 0) - time) ** 2);
  const found = same.map((part) => ({ part, jumps: jumpsOf(record, part, place.stretch) }));
  const jumps = ([0, 1, 2] as const).map((k) => {
    if (k < LOWEST_JUMP[change.kind]) return null;
    const one = found.reduce((sum, { part, jumps: own }) => sum + part.weight * own[k].mean, 0) / total;
    const all = found.reduce(
      (sum, { part, jumps: own }) => sum + part.weight * (own[k].variance + (own[k].mean - one) ** 2),
      0,
    );
    return { mean: one, variance: all / total };
  });
  return { kind: change.kind, share, time, timeVariance: spread, jumps };
}

function changesInside({ times }: CurveRecord, { changes }: CurveModel, { from, to }: Stretch) {
  return changes.filter(({ time }) => time > times[from] && time <= times[to - 1]);
}

/** V r and V - V N V at the part's change. */
function jumpsOf(record: CurveRecord, { model, change, variance }: Part, stretch: Stretch) {
  const passed = pass(record, model, stretch);
  const at = changesInside(record, model, stretch).findIndex((one) => one.time === change?.time);
  const step = passed?.steps.changeSteps[at] ?? 0;
  return ([0, 1, 2] as const).map((k) => {
    const v = model.jumps[k];
    const r = passed?.smoothed.pulls[3 * step + k] ?? 0;
    const n = passed?.smoothed.pullSizes[6 * step + [0, 3, 5][k]] ?? 0;
    return { mean: v * r, variance: variance * Math.max(0, v - v * n * v) };
  });
}
