import { ok, type Result, refuse } from "../quantity/result.ts";
import { type RepeatPeriod, repeatPeriod } from "./repeat-period.ts";

/** First and last frame of a stretch, both included. */
export interface FrameSpan {
  readonly from: number;
  readonly to: number;
}

export interface RepeatedFrames {
  /** Frames that show the picture before them once more, increasing. */
  readonly frames: readonly number[];
  /** Repeats among the frames that could be judged, 0 to 1. */
  readonly fraction: number;
  /** How many frames could be judged; frame 0 never can. */
  readonly judged: number;
  /** The regular pattern, where there is one. */
  readonly period: RepeatPeriod | null;
  /**
   * Stretches where too little moves to tell: there the question has no answer, and mostly no consequence.
   */
  readonly undecidable: readonly FrameSpan[];
}

/*
 * Grey levels (0 to 255) of the greatest difference between copies shrunk to 2304 cells. Measured on clips
 * whose frames were doubled, or every 5th repeated, then coded again as H.264: in 1080-line clips repeats
 * differ by 2 at most and new pictures of a moving scene by 12 or more; in a small grainy clip with steps of
 * 50 to 100, repeats beside key frames differ by up to 8.
 */
const MOVES = 6; // three times what a repeat showed, half of what motion showed
// A repeat stands out from the steps at its sides by this factor: 12 / 3 = 4, midway (in ratio) of 2 and 12;
const CONTRAST = 3;
// by this one where it differs by more than 6 levels, which coding alone seldom does.
const CONTRAST_ABOVE = 6;
const LONGEST_RUN = 7; // a picture shown up to eight times, as 30 a second in a 240 file
const LEAST_FRAMES = 8;

/**
 * Finds repeated frames by content. Frames a..b repeat the picture before them when all their differences are
 * at most a third (above 6 grey levels a sixth) of the differences just before and just after the run, and
 * those show motion. So a scene that merely comes to rest, or moves slowly, is never called repeated; steps
 * below 6 grey levels that do not stand out so are undecidable.
 * A still scene with a light that flashes for one frame every eight or fewer looks like repeats and
 * cannot be told from them.
 * @param differences [n], greatest absolute grey difference of frame k from frame k - 1 at 2304
 *   cells; the first is null
 * @returns frames, period and what could not be judged; "too-few-frames" under 8, "nothing-moves"
 *   when no frame can be judged
 * @throws RangeError when the first entry is not null, or another is no number >= 0
 */
export function repeatedFrames(
  differences: readonly (number | null)[],
): Result<RepeatedFrames, "too-few-frames" | "nothing-moves"> {
  const n = differences.length;
  const wrong = differences.findIndex((d, k) =>
    k === 0 ? d !== null : !(d !== null && d >= 0 && d < Infinity),
  );
  if (wrong >= 0) throw new RangeError(`repeatedFrames: difference ${wrong} is ${differences[wrong]}`);
  if (n < LEAST_FRAMES) return refuse("too-few-frames", { frames: n, neededFrames: LEAST_FRAMES });
  const steps = differences.map((d) => d ?? 0);
  const repeated = repeatedAt(steps);
  const undecided = steps.map((d, k) => k > 0 && d < MOVES && !repeated[k]);
  const judged = undecided.filter((one, k) => k > 0 && !one).length;
  if (judged === 0) return refuse("nothing-moves", { largest: Math.max(...steps), needed: MOVES });
  const frames = repeated.flatMap((one, k) => (one ? [k] : []));
  const states = steps.map((_, k) => (k === 0 || undecided[k] ? null : (repeated[k] as boolean)));
  return ok({
    frames,
    fraction: frames.length / judged,
    judged,
    period: repeatPeriod(states),
    undecidable: spansOf(undecided),
  });
}

/**
 * Marks every run that is small within and large on both sides; runs at either end of the
 * clip have only one side.
 */
function repeatedAt(steps: readonly number[]): readonly boolean[] {
  const repeated = steps.map(() => false);
  for (let from = 2; from < steps.length - 1; from++) {
    const before = steps[from - 1];
    if (before < MOVES) continue;
    let largest = 0;
    for (let to = from; to < Math.min(from + LONGEST_RUN, steps.length - 1); to++) {
      largest = Math.max(largest, steps[to]);
      if (largest > repeatLimit(before)) break;
      const after = steps[to + 1];
      if (after >= MOVES && largest <= repeatLimit(after)) repeated.fill(true, from, to + 1);
    }
  }
  return repeated;
}

/** The greatest difference that counts as a repeat beside a moving step. */
function repeatLimit(movingStep: number): number {
  return Math.max(Math.min(movingStep / CONTRAST, MOVES), movingStep / CONTRAST_ABOVE);
}

function spansOf(flags: readonly boolean[]): readonly FrameSpan[] {
  const spans: FrameSpan[] = [];
  flags.forEach((flag, k) => {
    if (!flag) return;
    const last = spans.at(-1);
    if (last !== undefined && last.to === k - 1) spans[spans.length - 1] = { from: last.from, to: k };
    else spans.push({ from: k, to: k });
  });
  return spans;
}
