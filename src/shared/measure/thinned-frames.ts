import type { PlaneMark } from "../kinematics/body-shape.ts";
import type { MotionFit } from "../kinematics/fitted-motion.ts";
import type { MeasuringSetUp } from "./measuring-set-up.ts";

// Frames that the effect of a common input is computed on. On a made-up shot of 1500 frames every fifth moves
// each result as all do, to 4 % of what all common inputs together do: two thousandths of their variance.
const MOST_FRAMES = 600;

export interface ThinnedFrames {
  readonly fit: MotionFit;
  readonly setUp: MeasuringSetUp;
  /** The marks of the frames that are kept, each standing for the frames that are not. */
  weighed(marks: readonly PlaneMark[]): readonly PlaneMark[];
}

/**
 * A shot with every so many of its frames, where it has more than 600. An input that all marks share moves
 * them evenly from frame to frame, so the results move as they do on all frames, as long as every frame kept
 * weighs as much as those it stands for: what is smoothed, and how much, stays the same.
 */
export function thinnedFrames(
  fit: MotionFit,
  setUp: MeasuringSetUp,
  mostFrames = MOST_FRAMES,
): ThinnedFrames {
  const every = Math.ceil(fit.frames.length / mostFrames);
  if (every <= 1) return { fit, setUp, weighed: (marks) => marks };
  const isKept = (_: unknown, i: number) => i % every === 0;
  const frames = fit.frames.filter(isKept);
  const numbers = new Set(frames.flatMap((marks) => marks.map(({ frame }) => frame)));
  const initial = { ...fit.initial, angles: fit.initial.angles.filter(isKept) };
  return {
    fit: { ...fit, frames, initial },
    setUp: { ...setUp, sources: setUp.sources.filter(({ frame }) => numbers.has(frame)) },
    weighed: (marks) => marks.map((mark) => ({ ...mark, u: mark.u / Math.sqrt(every) })),
  };
}
