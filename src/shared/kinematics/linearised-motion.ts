import { type BodyAxis, type BodyShape, bodyShape, type FrameMarks, type PlaneMark } from "./body-shape.ts";
import type { InitialMotion } from "./initial-motion.ts";
import { lasting, type MarkNoise, WHITE_NOISE } from "./mark-noise.ts";
import type { PlaneResidual, PoseAt } from "./mark-residuals.ts";
import { meanAt, meanPose } from "./mean-motion.ts";
import { MotionCandidates, type Settled } from "./motion-candidates.ts";
import type { MotionProblem } from "./normal-equations.ts";
import { poseInformation } from "./pose-information.ts";
import { atFrameTime, residualsAsSeen } from "./row-lag.ts";

/** The linear problem about a motion that the marks agree with, and how well they do. */
export interface Linearised {
  readonly problem: MotionProblem;
  readonly initial: InitialMotion;
  /** The frames with every mark moved to its frame's time, and the body's shape found from them. */
  readonly frames: readonly FrameMarks[];
  readonly shape: BodyShape;
  readonly settled: Settled;
  /** Of the marks as they were seen. */
  readonly residuals: readonly PlaneResidual[];
  readonly poseAt: PoseAt;
  readonly converged: boolean;
}

const ROUNDS = 6;
// Linearising 0.3 mrad off leaves (3e-4)² / 2 times the arm: nanometres.
const SETTLED_RAD = 3e-4;

/** The pose information of all frames, linearised about the pitch that `initial` holds. */
export function problemAt(
  frames: readonly FrameMarks[],
  shape: BodyShape,
  initial: InitialMotion,
  noise: MarkNoise = WHITE_NOISE,
): MotionProblem {
  const { angles, directionRad } = initial;
  const own = (2 * frames.flat().filter((mark) => shape.has(mark.point)).length) / lasting(noise.lag);
  const unshown = noise.shown.reduce((sum, share) => sum + 1 - share, 0);
  return {
    poses: frames.map((marks, i) => poseInformation(marks, shape, angles[i], directionRad, noise)),
    // a frame's mean that is given more than residuals show of it counts for as much as they do
    coordinates: own - (unshown * frames.length) / lasting(noise.lag),
    directionRad: initial.directionRad,
  };
}

/**
 * Moves the point of linearisation (pitch of each frame, launch direction, marks of late rows)
 * to the fit until it stays.
 * @returns null when the marks do not determine a motion at these times
 */
export function linearised(
  seen: readonly FrameMarks[],
  axis: BodyAxis,
  firstShape: BodyShape,
  first: InitialMotion,
  scanned: Settled,
): Linearised | null {
  let [initial, settled, frames, shape] = [first, scanned, seen, firstShape];
  for (let round = 1; ; round++) {
    const problem = problemAt(frames, shape, initial, scanned.noise);
    const candidates = new MotionCandidates(problem, initial);
    settled = candidates.smoothed(settled, 3);
    const fit = candidates.fit(settled);
    if (fit === null) return null;
    const { directionRad } = initial;
    const poseAt: PoseAt = (timeS) => meanPose(fit, directionRad, timeS);
    const angles = frames.map((marks) => meanAt(fit, directionRad, 2, 0, (marks[0] as PlaneMark).timeS));
    const speedOf = (coordinate: 0 | 1) => meanAt(fit, directionRad, coordinate, 1, settled.releaseS);
    const turn = Math.atan2(speedOf(1), speedOf(0));
    const moved = angles.reduce(
      (most, a, i) => Math.max(most, Math.abs(a - initial.angles[i])),
      Math.abs(turn),
    );
    const levelled = atFrameTime(seen, shape, directionRad, poseAt);
    // Marks of late rows take a round of their own: the first fit was to marks of different instants.
    const enough = levelled === seen ? 1 : 3;
    if ((moved < SETTLED_RAD && round >= enough) || round === ROUNDS) {
      const residuals = residualsAsSeen(seen, shape, directionRad, poseAt);
      const converged = moved < SETTLED_RAD;
      return { problem, initial, frames, shape, settled, residuals, poseAt, converged };
    }
    if (levelled !== seen) {
      frames = levelled;
      shape = bodyShape(frames, axis) ?? shape;
    }
    initial = { ...initial, angles, directionRad: directionRad + turn };
  }
}
