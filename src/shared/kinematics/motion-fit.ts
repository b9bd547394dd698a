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
import { grossLimit, grossMarks } from "./mark-residuals.ts";
import { MotionCandidates, type Settled } from "./motion-candidates.ts";
import type { MotionPosterior } from "./motion-posterior.ts";
import { releaseMixture, type WeightedPosterior, withSpreads } from "./release-mixture.ts";
import { type ReleaseInput, refineTimes, scanRelease } from "./release-search.ts";
import { residualsAsSeen } from "./row-lag.ts";

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
  /**
   * The times and smoothness the search settled on, for each onset that the marks leave open: where a fit of
   * nearly the same marks may start.
   */
  readonly settled: readonly Settled[];
  readonly converged: boolean;
}

// share of all marks; beyond this the marks as a whole are in doubt, not single ones
const MOST_SET_ASIDE = 0.25;

/**
 * Fits the pose functions s(t), n(t) and pitch(t) to all marks at once. At rest before the start where the
 * data say so; continuous in position and velocity with a free jump of acceleration at release; smoothness
 * chosen by restricted likelihood separately for each coordinate and phase; release and start times
 * integrated over, so that their uncertainty is in the result. Marks that stand out by more than five noise
 * widths are set aside and named.
 * @param near times and smoothness of an earlier fit of nearly the same marks: the search then
 *   starts there and stays close
 * @returns the fit; or why there is none, with the numbers found and needed
 */
export function fitMotion(
  input: MotionInput,
  near: readonly Settled[] | null = null,
): Result<MotionFit, MotionRefusal> {
  const [first, ...others] = near ?? [];
  let setAside: readonly PlaneMark[] = [];
  let readmitted = false;
  for (;;) {
    const frames = byFrame(input.marks.filter((mark) => !setAside.includes(mark)));
    if (frames.length < NEEDED_FRAMES) {
      return refuse("too-few-frames", { frames: frames.length, needed: NEEDED_FRAMES });
    }
    const shape = bodyShape(frames, input.axis);
    if (shape === null) return refuse("no-axis");
    const initial = initialMotion(frames, shape);
    if (!initial.ok) return initial;
    const about = linearisedAbout(frames, shape, initial.value, input, first);
    // Times of an earlier fit that do not serve these marks: the search starts afresh.
    if (!about.ok) return first === undefined ? about : fitMotion(input);
    const linear = about.value;
    const gross = grossMarks(linear.residuals);
    const mayLose = setAside.length + gross.length <= MOST_SET_ASIDE * input.marks.length;
    if (gross.length > 0 && mayLose) {
      setAside = [...setAside, ...gross];
      continue;
    }
    const innocent = readmitted ? [] : innocentMarks(setAside, linear);
    if (innocent.length > 0) {
      setAside = setAside.filter((mark) => !innocent.includes(mark));
      readmitted = true;
      continue;
    }
    const candidates = new MotionCandidates(linear.problem, linear.initial);
    const found = first === undefined ? refineTimes(candidates, linear.settled, input.release) : null;
    const settled = (found ?? [linear.settled, ...others]).map((one) => withSpreads(candidates, one));
    const parts = releaseMixture(candidates, settled, input.release, first !== undefined);
    return mixedFit(parts, linear, settled, setAside, initial.value.atRest);
  }
}

function mixedFit(
  parts: readonly WeightedPosterior[],
  linear: Linearised,
  settled: readonly Settled[],
  setAside: readonly PlaneMark[],
  atRest: boolean,
): Result<MotionFit, MotionRefusal> {
  if (parts.length === 0) return refuse("undetermined");
  const { initial, shape, frames, converged } = linear;
  const best = parts[0].posterior;
  const { directionRad } = initial;
  return ok({ parts, best, directionRad, initial, atRest, shape, frames, setAside, settled, converged });
}

/** The motion linearised about the times given, or where there are none, about those of a scan. */
function linearisedAbout(
  frames: readonly FrameMarks[],
  shape: BodyShape,
  initial: InitialMotion,
  { axis, release }: MotionInput,
  settled: Settled | undefined,
): Result<Linearised, MotionRefusal> {
  const times = settled === undefined ? scan(frames, shape, initial, release) : ok(settled);
  if (!times.ok) return times;
  const linear = linearised(frames, axis, shape, initial, times.value);
  return linear === null ? refuse("undetermined") : ok(linear);
}

function scan(
  frames: readonly FrameMarks[],
  shape: BodyShape,
  initial: InitialMotion,
  release: ReleaseInput,
) {
  return scanRelease(new MotionCandidates(problemAt(frames, shape, initial), initial), release);
}

/**
 * Marks set aside early that the fit without them does not disown: they had only been pulled by a worse one.
 */
function innocentMarks(setAside: readonly PlaneMark[], linear: Linearised): readonly PlaneMark[] {
  const limit = grossLimit(linear.residuals);
  const residuals = residualsAsSeen(
    setAside.map((mark) => [mark]),
    linear.shape,
    linear.initial.directionRad,
    linear.poseAt,
  );
  return residuals.filter((residual) => residual.z <= limit).map((residual) => residual.mark);
}
