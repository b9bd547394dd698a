import { type ErrorVariance, type Score, scoreFrom, scoreOf } from "./curve-likelihood.ts";
import type { CurveModel, CurveRecord } from "./curve-model.ts";
import type { Stretch } from "./curve-steps.ts";
import { pass } from "./smooth-both-ways.ts";

/** A model with its likeliest smoothness over a stretch. */
export interface SmoothnessFit extends Score {
  readonly model: CurveModel;
  /**
   * [groups]: how much of the curve's wandering the samples show, as a number of independent looks: the
   * variance of a log smoothness is about 2 over it. 0 for a group that does not occur.
   */
  readonly looks: readonly number[];
}

export const MOST_LOG_SMOOTHNESS = Math.log(1e4); // the acceleration changes by 100 u from sample to sample
const LONGEST_STEP = 4;
const SETTLED = 0.05; // of the score's derivative

/** Below it nothing of the curve's wandering is left in n samples: it is a parabola. */
export function leastLogSmoothness(samples: number): number {
  return -5 * Math.log(samples) - 7;
}

/**
 * The log smoothness of each group that occurs in a stretch at which the restricted likelihood is stationary:
 * the wandering that is seen, r'Qr, equals what is to be expected, tr QN, group by group. Each is stepped
 * on by the log of their ratio, and by the secant from the second step on; every round is one pass for all
 * groups.
 */
export function smoothnessFit(
  record: CurveRecord,
  model: CurveModel,
  stretch: Stretch,
  errors: ErrorVariance,
  rounds: number,
): SmoothnessFit | null {
  const groups = model.logSmoothness.length;
  const least = leastLogSmoothness(stretch.to - stretch.from);
  const roots = model.logSmoothness.map((at) => ({ at, lastAt: Number.NaN, lastLog: Number.NaN }));
  let best: SmoothnessFit | null = null;
  for (let round = 0; round <= rounds; round++) {
    const now: CurveModel = { ...model, logSmoothness: roots.map(({ at }) => at) };
    const passed = pass(record, now, stretch);
    if (passed === null) return null;
    const score = scoreFrom(passed.filtered, errors, record.leastVariance);
    const [seen, expected] = [new Float64Array(groups), new Float64Array(groups)];
    const { wandering, wanderingSizes } = passed.smoothed;
    passed.steps.groups.forEach((group, step) => {
      seen[group] += wandering[step] / score.variance;
      expected[group] += wanderingSizes[step];
    });
    if (best === null || score.score <= best.score)
      best = { ...score, model: now, looks: Array.from(expected) };
    let moved = false;
    roots.forEach((root, group) => {
      if (!(expected[group] > 0) || Math.abs(seen[group] - expected[group]) < SETTLED) return;
      const log = Math.log(Math.max(seen[group], 1e-300) / expected[group]);
      const next = Math.min(Math.max(root.at + stepOf(root, log), least), MOST_LOG_SMOOTHNESS);
      if (Math.abs(next - root.at) < 1e-3) return;
      Object.assign(root, { lastAt: root.at, lastLog: log, at: next });
      moved = true;
    });
    if (!moved) break;
  }
  return best;
}

/** The secant where it falls, as it must near a maximum; elsewhere on by the log ratio, twice. */
function stepOf(root: { at: number; lastAt: number; lastLog: number }, log: number): number {
  const slope = (log - root.lastLog) / (root.at - root.lastAt);
  const step = slope < -0.02 ? -log / slope : 2 * log;
  return Math.min(Math.max(step, -LONGEST_STEP), LONGEST_STEP);
}

/** One smoothness for all, from nothing: an even scan, then refined. */
export function scannedSmoothness(
  record: CurveRecord,
  model: CurveModel,
  stretch: Stretch,
  errors: ErrorVariance,
): SmoothnessFit | null {
  const samples = stretch.to - stretch.from;
  const least = leastLogSmoothness(samples);
  const step = Math.max(1.5, (MOST_LOG_SMOOTHNESS - least) / 16);
  let best: { readonly at: number; readonly score: number } | null = null;
  for (let at = least; at <= MOST_LOG_SMOOTHNESS; at += step) {
    const found = scoreOf(record, { ...model, logSmoothness: [at] }, stretch, errors);
    if (found !== null && (best === null || found.score < best.score)) best = { at, score: found.score };
  }
  return best && smoothnessFit(record, { ...model, logSmoothness: [best.at] }, stretch, errors, 8);
}
