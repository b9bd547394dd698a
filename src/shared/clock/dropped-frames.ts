import { ok, type Result, refuse } from "../quantity/result.ts";
import type { Gap } from "./frame-clock.ts";

/** A mark of one point, px, with the standard uncertainty of each coordinate. */
export interface PathMark {
  readonly frame: number;
  readonly x: number;
  readonly y: number;
  readonly u: number;
}

/**
 * Missing frames with what says so: the step over the gap in usual steps (about missing + 1),
 * and the usual step itself.
 */
export interface FoundGap extends Gap {
  /** Step over the gap in usual steps of one frame. */
  readonly ratio: number;
  /** s for timestamps, px for motion. */
  readonly step: number;
  readonly usualStep: number;
}

const NEAR_WHOLE = 0.3; // of a usual step: time ticks of 1 ms at 240 frames/s put single steps 0.2 off
const IRREGULAR_SHARE = 0.1;
const LEAST_STAMPS = 4;

/**
 * Missing frames by timestamps: intervals that are a whole multiple, two or more, of the usual one. The usual
 * interval is the mean of those within 1.5 medians, so that coarse ticks average out.
 * @param timestampsS [n], s, strictly increasing
 * @returns the gaps, none for an even clip; "too-few-frames" under 4; "irregular" when over a tenth of the
 *   intervals are near no whole multiple: a clip of variable rate, whose own timestamps are the better clock
 * @throws RangeError when the timestamps do not increase
 */
export function droppedByTimestamps(
  timestampsS: readonly number[],
): Result<readonly FoundGap[], "too-few-frames" | "irregular"> {
  if (timestampsS.length < LEAST_STAMPS) {
    return refuse("too-few-frames", { frames: timestampsS.length, neededFrames: LEAST_STAMPS });
  }
  const steps = timestampsS.slice(1).map((t, k) => t - timestampsS[k]);
  const wrong = steps.findIndex((step) => !(step > 0 && step < Number.POSITIVE_INFINITY));
  if (wrong >= 0)
    throw new RangeError(`droppedByTimestamps: no increase from frame ${wrong} to ${wrong + 1}`);
  const median = [...steps].sort((a, b) => a - b)[Math.floor((steps.length - 1) / 2)];
  const single = steps.filter((step) => step <= 1.5 * median);
  const usualStep = single.reduce((sum, step) => sum + step, 0) / single.length;
  const isWhole = (ratio: number) => ratio > NEAR_WHOLE && Math.abs(ratio - Math.round(ratio)) <= NEAR_WHOLE;
  const off = steps.filter((step) => !isWhole(step / usualStep)).length / steps.length;
  if (off > IRREGULAR_SHARE) return refuse("irregular", { share: off, allowedShare: IRREGULAR_SHARE });
  return ok(
    steps.flatMap((step, k) => {
      const ratio = step / usualStep;
      const missing = Math.round(ratio) - 1;
      return missing >= 1 && isWhole(ratio) ? [{ afterFrame: k, missing, ratio, step, usualStep }] : [];
    }),
  );
}

const LEAST_MARKS = 6;
// on each side: a line through four steps follows a steady acceleration and still shows a misfit
const NEIGHBOURS = 2;
const MISFIT_ALLOWED = 0.15; // of the usual step, rms about that line: rougher motion cannot be judged
// a missing frame must stand this many u above an ordinary step: a few hundred steps, no false one
const CLEAR_IN_U = 4;

/**
 * Missing frames by motion: the distance between neighbouring marks of a point, against a straight line
 * through the speeds of the two steps before and the two after. distance / usual = frames between + missing.
 * Judged only where those four agree with their line to 15 % and u(ratio) <= 1/8; so not in
 * the first steps of a push.
 * @param marks by frame, strictly increasing; leave repeated frames out
 * @returns the gaps; "too-few-marks" under 6; "too-slow" when the marks' u is too large a part of every step,
 *   with the step that would do
 * @throws RangeError when the frames do not increase or a u is not > 0
 */
export function droppedByMotion(
  marks: readonly PathMark[],
): Result<readonly FoundGap[], "too-few-marks" | "too-slow"> {
  const wrong = marks.findIndex(
    ({ frame, u }, i) => !(u > 0) || (i > 0 && frame <= (marks[i - 1] as PathMark).frame),
  );
  if (wrong >= 0) throw new RangeError(`droppedByMotion: mark ${wrong} is out of order or has no u`);
  if (marks.length < LEAST_MARKS)
    return refuse("too-few-marks", { marks: marks.length, neededMarks: LEAST_MARKS });
  const steps = marks.slice(1).map((to, i) => {
    const from = marks[i] as PathMark;
    const frames = to.frame - from.frame;
    const step = Math.hypot(to.x - from.x, to.y - from.y);
    return { afterFrame: from.frame, frames, step, speed: step / frames, u: Math.hypot(from.u, to.u) };
  });
  const gaps: FoundGap[] = [];
  let clear = 0;
  for (let i = NEIGHBOURS; i < steps.length - NEIGHBOURS; i++) {
    const { step, frames, u, afterFrame } = steps[i] as (typeof steps)[number];
    const around = [-2, -1, 1, 2].map((j) => steps[i + j] as (typeof steps)[number]);
    const usualStep = around.reduce((sum, one) => sum + one.speed / 4, 0);
    // Touching steps share a mark whose error partly cancels; adding their variances stays on the safe side.
    const uUsual = Math.hypot(...around.map((one) => one.u / one.frames)) / 4;
    const ratio = step / usualStep;
    const uRatio = Math.hypot(u / usualStep, (step * uUsual) / usualStep ** 2);
    if (!(uRatio <= 1 / (2 * CLEAR_IN_U))) continue;
    clear++;
    if (misfit(around.map((one) => one.speed)) > MISFIT_ALLOWED * usualStep) continue;
    const missing = Math.round(ratio) - frames;
    if (missing >= 1 && Math.abs(ratio - Math.round(ratio)) <= NEAR_WHOLE) {
      gaps.push({ afterFrame, missing, ratio, step, usualStep });
    }
  }
  if (clear > 0) return ok(gaps);
  const typical = [...steps].sort((a, b) => a.speed - b.speed)[steps.length >> 1] as (typeof steps)[number];
  return refuse("too-slow", {
    stepPx: typical.speed,
    neededPx: 2 * CLEAR_IN_U * Math.hypot(1, 0.5) * typical.u,
  });
}

/** rms of four speeds at -2, -1, 1, 2 about their own straight line. */
function misfit(speeds: readonly number[]): number {
  const at = [-2, -1, 1, 2];
  const mean = speeds.reduce((sum, v) => sum + v / 4, 0);
  const slope = speeds.reduce((sum, v, i) => sum + (at[i] * v) / 10, 0);
  return Math.sqrt(speeds.reduce((sum, v, i) => sum + (v - mean - slope * at[i]) ** 2 / 4, 0));
}
