import type { BodyAxis, BodyShape, FrameMarks, PlaneMark } from "./body-shape.ts";
import type { InitialMotion } from "./initial-motion.ts";
import type { Settled } from "./motion-candidates.ts";
import type { MotionPosterior } from "./motion-posterior.ts";
import type { ReleaseInput } from "./release-evidence.ts";
import type { WeightedPosterior } from "./release-mixture.ts";
import type { SwappedPair } from "./swapped-marks.ts";

export type MotionRefusal =
  | "no-axis"
  | "too-few-frames"
  | "no-motion"
  | "no-push"
  | "no-flight"
  | "pushed-on"
  | "undetermined";

export interface MotionInput {
  readonly marks: readonly PlaneMark[];
  readonly axis: BodyAxis;
  readonly release: ReleaseInput;
  /** Whether a motor is expected to push on after release; false where left out. */
  readonly powered?: boolean;
}

export interface DoubtedMarks {
  /** Gross marks that were left out of the fit. */
  readonly setAside: readonly PlaneMark[];
  /** Those of them that fit once each of the two takes the other's place. */
  readonly swapped: readonly SwappedPair[];
}

/**
 * The fitted motion: a mixture over release and start times of Gaussian posteriors, weights
 * summing to 1, best first.
 */
export interface MotionFit extends DoubtedMarks {
  readonly parts: readonly WeightedPosterior[];
  readonly best: MotionPosterior;
  readonly directionRad: number;
  /** What told of release beside the motion, and whether the airframe may be pushed on after it. */
  readonly release: ReleaseInput;
  readonly powered: boolean;
  /** What the fit is linearised about. */
  readonly initial: InitialMotion;
  readonly atRest: boolean;
  /**
   * What the marks show: the push and its end, or nothing but flight. Release is then the first mark of it,
   * and says nothing of the push.
   */
  readonly seen: "push" | "flight";
  readonly shape: BodyShape;
  readonly frames: readonly FrameMarks[];
  /**
   * The times and smoothness the search settled on, for each onset that the marks leave open: where a fit of
   * nearly the same marks may start.
   */
  readonly settled: readonly Settled[];
  readonly converged: boolean;
}
