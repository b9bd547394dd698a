import { ok, type Result, refuse } from "../quantity/result.ts";
import {
  type BodyAxis,
  type BodyShape,
  bodyShape,
  byFrame,
  type FrameMarks,
  type PlaneMark,
  posePoints,
} from "./body-shape.ts";
import { type InitialMotion, initialMotion } from "./initial-motion.ts";
import { grossMarks, markResiduals, type PlaneResidual } from "./mark-residuals.ts";
import { meanAt, meanPose } from "./mean-motion.ts";
import { MotionCandidates, type Settled } from "./motion-candidates.ts";
import type { MotionPosterior, MotionProblem } from "./motion-posterior.ts";
import { poseInformation } from "./pose-information.ts";
import { releaseMixture, type WeightedPosterior } from "./release-mixture.ts";
import { type ReleaseInput, refineTimes, scanRelease } from "./release-search.ts";

export type MotionRefusal =
  | "no-axis"
  | "too-few-frames"
  | "no-motion"
  | "no-push"
  | "no-flight"
  | "undetermined";

const NEEDED_FRAMES = 16; // eight of push, five of flight and a few to see where it starts

export interface MotionInput {
  readonly marks: readonly PlaneMark[];
  readonly axis: BodyAxis;
  readonly release: ReleaseInput;
}

/** The fitted motion: a mixture over release and start times of Gaussian posteriors, weights summing to 1, best first. */
export interface MotionFit {
  readonly parts: readonly WeightedPosterior[];
  readonly best: MotionPosterior;
  readonly directionRad: number;
  readonly atRest: boolean;
  readonly shape: BodyShape;
  readonly frames: readonly FrameMarks[];
  /** Gross marks that were left out of the fit. */
  readonly setAside: readonly PlaneMark[];
  readonly converged: boolean;
}

const ROUNDS = 5;
// Linearising 0.3 mrad off leaves (3e-4)² / 2 times the arm: nanometres.
const SETTLED_RAD = 3e-4;

const MOST_SET_ASIDE = 0.25; // share of all marks; beyond this the marks as a whole are in doubt, not single ones

/**
 * Fits the pose functions s(t), n(t) and pitch(t) to all marks at once. At rest before the start where the data say so; continuous in
 * position and velocity with a free jump of acceleration at release; smoothness chosen by restricted likelihood separately for
 * each coordinate and phase; release and start times integrated over, so that their uncertainty is in the result.
 * Marks that stand out by more than five noise widths are set aside and named.
 * @returns the fit; or why there is none, with the numbers found and needed
 */
export function fitMotion(input: MotionInput): Result<MotionFit, MotionRefusal> {
  const setAside: PlaneMark[] = [];
  for (;;) {
    const frames = byFrame(input.marks.filter((mark) => !setAside.includes(mark)));
    if (frames.length < NEEDED_FRAMES) {
      return refuse("too-few-frames", { frames: frames.length, needed: NEEDED_FRAMES });
    }
    const shape = bodyShape(frames, input.axis);
    if (shape === null) return refuse("no-axis");
    const initial = initialMotion(frames, shape);
    if (!initial.ok) return initial;
    const first = new MotionCandidates(problemAt(frames, shape, initial.value), initial.value);
    const scanned = scanRelease(first, input.release);
    if (!scanned.ok) return scanned;
    const linear = linearised(frames, shape, initial.value, scanned.value);
    if (linear === null) return refuse("undetermined");
    const gross = grossMarks(linear.residuals);
    if (gross.length > 0 && setAside.length + gross.length <= MOST_SET_ASIDE * input.marks.length) {
      setAside.push(...gross);
      continue;
    }
    const candidates = new MotionCandidates(linear.problem, linear.initial);
    const settled = refineTimes(candidates, linear.settled, input.release);
    const parts = releaseMixture(candidates, settled, input.release);
    const best = parts[0];
    if (!best) return refuse("undetermined");
    return ok({
      parts,
      best: best.posterior,
      directionRad: linear.initial.directionRad,
      atRest: initial.value.atRest,
      shape,
      frames,
      setAside,
      converged: linear.converged,
    });
  }
}

function problemAt(frames: readonly FrameMarks[], shape: BodyShape, initial: InitialMotion): MotionProblem {
  return {
    poses: frames.map((marks, i) =>
      poseInformation(marks, shape, initial.angles[i] as number, initial.directionRad),
    ),
    coordinates: 2 * frames.reduce((sum, marks) => sum + posePoints(marks, shape).length, 0),
    directionRad: initial.directionRad,
  };
}

/** Moves the point of linearisation (pitch of each frame, launch direction) to the fit until it stays. */
function linearised(
  frames: readonly FrameMarks[],
  shape: BodyShape,
  first: InitialMotion,
  scanned: Settled,
): {
  problem: MotionProblem;
  initial: InitialMotion;
  settled: Settled;
  residuals: readonly PlaneResidual[];
  converged: boolean;
} | null {
  let initial = first;
  let settled = scanned;
  for (let round = 1; ; round++) {
    const problem = problemAt(frames, shape, initial);
    const candidates = new MotionCandidates(problem, initial);
    settled = candidates.smoothed(settled, 3);
    const fit = candidates.fit(settled);
    if (fit === null) return null;
    const angles = frames.map((marks) =>
      meanAt(fit, initial.directionRad, 2, 0, (marks[0] as PlaneMark).timeS),
    );
    const speedOf = (coordinate: 0 | 1) => meanAt(fit, initial.directionRad, coordinate, 1, settled.releaseS);
    const turn = Math.atan2(speedOf(1), speedOf(0));
    const moved = Math.max(
      Math.abs(turn),
      ...angles.map((a, i) => Math.abs(a - (initial.angles[i] as number))),
    );
    if (moved < SETTLED_RAD || round === ROUNDS) {
      const { directionRad } = initial;
      const residuals = markResiduals(frames, shape, directionRad, (timeS) =>
        meanPose(fit, directionRad, timeS),
      );
      return { problem, initial, settled, residuals, converged: moved < SETTLED_RAD };
    }
    initial = { ...initial, angles, directionRad: initial.directionRad + turn };
  }
}
