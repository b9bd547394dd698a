import { ok, type Result, refuse } from "../quantity/result.ts";
import {
  type BodyAxis,
  type BodyShape,
  bodyShape,
  byFrame,
  type FrameMarks,
  type PlaneMark,
} from "./body-shape.ts";
import { type InitialMotion, initialMotion } from "./initial-motion.ts";
import { type Linearised, linearised, problemAt } from "./linearised-motion.ts";
import type { PoseAt } from "./mark-residuals.ts";
import { type JudgingFit, MarksInDoubt } from "./marks-in-doubt.ts";
import { meanPose } from "./mean-motion.ts";
import { MotionCandidates, type Settled } from "./motion-candidates.ts";
import type { MotionPosterior } from "./motion-posterior.ts";
import { acrossGap } from "./release-gap.ts";
import { releaseMixture, type WeightedPosterior, withSpreads } from "./release-mixture.ts";
import { type ReleaseInput, refineTimes, scanRelease } from "./release-search.ts";
import { residualsAsSeen } from "./row-lag.ts";
import { runAtFault } from "./run-at-fault.ts";
import { flippedPairs, type SwappedPair, swappedPairs } from "./swapped-marks.ts";

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

/**
 * The fitted motion: a mixture over release and start times of Gaussian posteriors, weights
 * summing to 1, best first.
 */
export interface MotionFit {
  readonly parts: readonly WeightedPosterior[];
  readonly best: MotionPosterior;
  readonly directionRad: number;
  /** What the fit is linearised about. */
  readonly initial: InitialMotion;
  readonly atRest: boolean;
  readonly shape: BodyShape;
  readonly frames: readonly FrameMarks[];
  /** Gross marks that were left out of the fit. */
  readonly setAside: readonly PlaneMark[];
  /** Those of them that fit once each of the two takes the other's place. */
  readonly swapped: readonly SwappedPair[];
  /**
   * The times and smoothness the search settled on, for each onset that the marks leave open: where a fit of
   * nearly the same marks may start.
   */
  readonly settled: readonly Settled[];
  readonly converged: boolean;
}

// Searches for start and release, each after marks changed sides: each costs as much as a whole fit, and a
// mark that still changes sides after four is at the limit either way.
const MOST_SEARCHES = 4;

/**
 * Fits the pose functions s(t), n(t) and pitch(t) to all marks at once. At rest before the start where the
 * data say so; continuous in position and velocity with a free jump of acceleration at release; smoothness
 * chosen by restricted likelihood separately for each coordinate and phase; release and start times
 * integrated over, so that their uncertainty is in the result. Marks that stand out by more than five noise
 * widths are set aside and named; they are judged again once start and release are refined.
 * @param near times and smoothness of an earlier fit of nearly the same marks: the search then
 *   starts there and stays close
 * @returns the fit; or why there is none, with the numbers found and needed
 */
export function fitMotion(
  input: MotionInput,
  near: readonly Settled[] | null = null,
): Result<MotionFit, MotionRefusal> {
  const [first, ...others] = near ?? [];
  const marks = new MarksInDoubt(input.marks, flippedPairs(byFrame(input.marks), input.axis).flat());
  let times = first;
  for (let searches = 1; ; ) {
    const placed = placedMotion(marks.kept, input, times);
    // Times of an earlier fit that do not serve these marks: the search starts afresh.
    if (!placed.ok) return first === undefined ? placed : fitMotion(input);
    const { seen, linear } = placed.value;
    const { directionRad } = linear.initial;
    if (marks.judge({ ...linear, directionRad }, () => runAtFault(seen, input.axis, linear))) continue;
    const candidates = new MotionCandidates(linear.problem, linear.initial);
    const found = first === undefined ? refineTimes(candidates, linear.settled, input.release) : null;
    if (found !== null && searches < MOST_SEARCHES) {
      const refined = atSettledTimes(candidates, found[0], seen, linear);
      const fit = { ...linear, ...refined, settled: found[0] };
      if (refined !== null && marks.judge(refined, () => runAtFault(seen, input.axis, fit))) {
        times = found[0];
        searches++;
        continue;
      }
    }
    const likely = found === null ? [linear.settled, ...others] : acrossGap(candidates, found);
    const settled = likely.map((one) => withSpreads(candidates, one));
    const parts = releaseMixture(candidates, settled, input.release, first !== undefined);
    const judging = atSettledTimes(candidates, settled[0], seen, linear) ?? { ...linear, directionRad };
    const swapped = swappedPairs(marks.setAside, judging);
    return mixedFit(parts, linear, settled, { setAside: marks.setAside, swapped });
  }
}

function mixedFit(
  parts: readonly WeightedPosterior[],
  linear: Linearised,
  settled: readonly Settled[],
  left: Pick<MotionFit, "setAside" | "swapped">,
): Result<MotionFit, MotionRefusal> {
  if (parts.length === 0) return refuse("undetermined");
  const { initial, shape, frames, converged } = linear;
  const best = parts[0].posterior;
  const { directionRad, atRest } = initial;
  return ok({ parts, best, directionRad, initial, atRest, shape, frames, ...left, settled, converged });
}

/** The motion linearised about the times given, or where there are none, about those of a scan. */
function placedMotion(
  marks: readonly PlaneMark[],
  { axis, release }: MotionInput,
  settled: Settled | undefined,
): Result<{ readonly seen: readonly FrameMarks[]; readonly linear: Linearised }, MotionRefusal> {
  const seen = byFrame(marks);
  if (seen.length < NEEDED_FRAMES) {
    return refuse("too-few-frames", { frames: seen.length, needed: NEEDED_FRAMES });
  }
  const shape = bodyShape(seen, axis);
  if (shape === null) return refuse("no-axis");
  const initial = initialMotion(seen, shape);
  if (!initial.ok) return initial;
  const times = settled === undefined ? scan(seen, shape, initial.value, release) : ok(settled);
  if (!times.ok) return times;
  const linear = linearised(seen, axis, shape, initial.value, times.value);
  return linear === null ? refuse("undetermined") : ok({ seen, linear });
}

function scan(
  frames: readonly FrameMarks[],
  shape: BodyShape,
  initial: InitialMotion,
  release: ReleaseInput,
) {
  return scanRelease(new MotionCandidates(problemAt(frames, shape, initial), initial), release);
}

/** What the marks are judged by once start and release are refined. */
function atSettledTimes(
  candidates: MotionCandidates,
  settled: Settled,
  seen: readonly FrameMarks[],
  { shape, initial: { directionRad } }: Linearised,
): JudgingFit | null {
  const fit = candidates.fit(settled);
  if (fit === null) return null;
  const poseAt: PoseAt = (timeS) => meanPose(fit, directionRad, timeS);
  return { residuals: residualsAsSeen(seen, shape, directionRad, poseAt), shape, directionRad, poseAt };
}
