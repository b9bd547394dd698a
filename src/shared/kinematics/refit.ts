import { elementAt } from "../quantity/known-element.ts";
import { type BodyAxis, bodyShape, byFrame, type FrameMarks, type PlaneMark } from "./body-shape.ts";
import type { MotionFit } from "./fitted-motion.ts";
import { problemAt } from "./linearised-motion.ts";
import { meanPose } from "./mean-motion.ts";
import { MotionCandidates } from "./motion-candidates.ts";
import { type MotionNumbers, motionNumbers } from "./motion-numbers.ts";
import { atFrameTime } from "./row-lag.ts";

/**
 * The results that other marks, clock or axis would give, at the same release and start (as frames), the same
 * smoothness and about the same pitch: the fit is linear there, so this tells how results move with an input
 * that is common to all marks.
 * @param marks the disturbed marks: same points and frames as were fitted
 * @returns null when these marks no longer determine the motion
 */
export function refit(fit: MotionFit, marks: readonly PlaneMark[], axis: BodyAxis): MotionNumbers | null {
  const used = new Set(fit.frames.flat().map(markKey));
  const seen = byFrame(marks.filter((mark) => used.has(markKey(mark))));
  const frames = atFrameTime(seen, fit.shape, fit.directionRad, (timeS) =>
    meanPose(fit.best, fit.directionRad, timeS),
  );
  const shape = bodyShape(frames, axis, 1);
  if (shape === null || frames.length !== fit.frames.length) return null;
  const { basis, smoothness } = fit.best;
  const before = fit.frames.map((one) => one[0]?.timeS ?? 0);
  const after = frames.map((one) => one[0]?.timeS ?? 0);
  // An input that turns the whole picture turns the launch with it: the directions that the
  // smoothness holds apart turn too.
  const turn = heading(frames) - heading(fit.frames);
  const initial = {
    ...fit.initial,
    angles: fit.initial.angles.map((angle) => angle + turn),
    directionRad: fit.directionRad + turn,
  };
  const candidates = new MotionCandidates(
    problemAt(frames, shape, initial, elementAt(fit.settled, 0).noise),
    initial,
  );
  const numbersAt = (releaseS: number) => {
    const posterior = candidates.fit({
      startS: carried(basis.startS, before, after),
      releaseS,
      smoothness,
      knots: elementAt(fit.settled, 0).knots,
    });
    return posterior === null ? null : motionNumbers(posterior, posterior.mean, initial.directionRad);
  };
  const releaseS = carried(basis.releaseS, before, after);
  const numbers = numbersAt(releaseS);
  const late = numbers === null ? 0 : lateByTravel(fit, numbers);
  return late === 0 ? numbers : numbersAt(releaseS - late);
}

/**
 * s by which a carried release is late where a known travel tells it: the travel stays as stated whatever
 * becomes of the scale, as far as it was the travel that told and not the end of the push.
 */
function lateByTravel({ release, parts, best, directionRad }: MotionFit, { stroke, speed }: MotionNumbers) {
  if (release.by !== "travel") return 0;
  const mean = parts.reduce((sum, { weight, posterior }) => sum + weight * posterior.basis.releaseS, 0);
  const variance = parts.reduce(
    (sum, { weight, posterior }) => sum + weight * (posterior.basis.releaseS - mean) ** 2,
    0,
  );
  const told = Math.min(1, (speed ** 2 * variance) / release.u ** 2);
  return (told * (stroke - motionNumbers(best, best.mean, directionRad).stroke)) / speed;
}

const MOST_POINTS = 4096; // far more than anyone marks on one airframe

/** One number for the point and frame of a mark: this is asked for every mark and every input. */
function markKey({ point, frame }: PlaneMark): number {
  return frame * MOST_POINTS + point;
}

/** rad, direction from the middle of the first frame's marks to that of the last's. */
export function heading(frames: readonly FrameMarks[]): number {
  const [first, last] = [middle(frames[0] ?? []), middle(frames.at(-1) ?? [])];
  return Math.atan2(last[1] - first[1], last[0] - first[0]);
}

function middle(marks: FrameMarks): readonly [number, number] {
  const sum = (pick: (mark: PlaneMark) => number) => marks.reduce((total, mark) => total + pick(mark), 0);
  return [sum((mark) => mark.x) / marks.length, sum((mark) => mark.y) / marks.length];
}

/** The instant in the new times that lies between the same frames, in the same proportion. */
function carried(timeS: number, before: readonly number[], after: readonly number[]): number {
  let k = 0;
  while (k < before.length - 2 && before[k + 1] <= timeS) k++;
  const [b0, b1] = [before[k], before[k + 1]];
  const [a0, a1] = [after[k], after[k + 1]];
  return b1 === b0 ? a0 + (timeS - b0) : a0 + ((timeS - b0) * (a1 - a0)) / (b1 - b0);
}
