import { ok, type Result, refuse } from "../quantity/result.ts";
import { type BodyAxis, bodyShape, byFrame, type FrameMarks, type PlaneMark } from "./body-shape.ts";
import type { DoubtedMarks, MotionFit, MotionInput, MotionRefusal } from "./fitted-motion.ts";
import { type InitialMotion, initialMotion } from "./initial-motion.ts";
import { type Linearised, linearised, problemAt } from "./linearised-motion.ts";
import { differs, markNoise } from "./mark-noise.ts";
import type { PoseAt } from "./mark-residuals.ts";
import { type JudgingFit, MarksInDoubt } from "./marks-in-doubt.ts";
import { meanPose } from "./mean-motion.ts";
import { MotionCandidates, type Settled } from "./motion-candidates.ts";
import { usedFreedom } from "./motion-posterior.ts";
import type { MotionProblem } from "./normal-equations.ts";
import { acrossGap } from "./release-gap.ts";
import { releaseMixture, withSpreads } from "./release-mixture.ts";
import { refineTimes, scanRelease, typicalOf } from "./release-search.ts";
import { residualsAsSeen } from "./row-lag.ts";
import { runAtFault } from "./run-at-fault.ts";
import { flightOnly, mixedFit, pushedOn } from "./seen-motion.ts";
import { PUSHED_ON, SLOWED_BY_AIR } from "./smoothness-prior.ts";
import { flippedPairs, swappedPairs } from "./swapped-marks.ts";

const NEEDED_FRAMES = 10; // three of push, a few of flight and some to see where it starts

// Searches for start and release, each after marks changed sides: each costs as much as a whole fit, and a
// mark that still changes sides after four is at the limit either way.
const MOST_SEARCHES = 4;

/**
 * Fits the pose functions s(t), n(t) and pitch(t) to all marks at once. At rest before the start where the
 * data say so; continuous in position and velocity, the acceleration free to jump at release or to fade out
 * before; smoothness chosen by restricted likelihood separately for each coordinate and phase; release and
 * start times integrated over, so that their uncertainty is in the result. Marks that stand out by more than
 * five noise widths are set aside and named; they are judged again once start and release are refined. What
 * the marks do not show is said: a push that was not seen, or no flight.
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
    const candidates = candidatesOf(linear.problem, linear.initial, input);
    const found = first === undefined ? refineTimes(candidates, linear.settled) : null;
    if (found?.length === 0) return refuse("undetermined");
    const again =
      found !== null && searches < MOST_SEARCHES
        ? reconsidered(candidates, found[0], seen, linear, input.axis, marks)
        : null;
    if (again !== null) {
      times = again;
      searches++;
      continue;
    }
    const likely = found === null ? [linear.settled, ...others] : acrossGap(candidates, found);
    const judging = judgingFit(candidates, likely[0], seen, linear) ?? { ...linear, directionRad };
    const doubted = { setAside: marks.setAside, swapped: swappedPairs(marks.setAside, judging) };
    return motionOf(candidates, likely, linear, input, doubted, first !== undefined);
  }
}

/**
 * What a refined fit shows of its marks that the search did not know: marks that change sides, or errors that
 * are not white. @returns where to search again from; null when there is nothing new
 */
function reconsidered(
  candidates: MotionCandidates,
  found: Settled,
  seen: readonly FrameMarks[],
  linear: Linearised,
  axis: BodyAxis,
  marks: MarksInDoubt,
): Settled | null {
  const posterior = candidates.fit(found);
  const refined = judgingFit(candidates, found, seen, linear);
  if (posterior === null || refined === null) return null;
  const fit = { ...linear, ...refined, settled: found };
  if (marks.judge(refined, () => runAtFault(seen, axis, fit))) return found;
  const freedom = usedFreedom(posterior, candidates.problem);
  const noise = markNoise(refined.residuals, refined.directionRad, freedom);
  return differs(noise, found.noise) ? { ...found, noise } : null;
}

/** What the marks are judged by once start and release are refined. */
function judgingFit(
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

/** The motion of marks that are all good, about its settled times: what of it the marks show. */
function motionOf(
  candidates: MotionCandidates,
  times: readonly Settled[],
  linear: Linearised,
  input: MotionInput,
  doubted: DoubtedMarks,
  quick: boolean,
): Result<MotionFit, MotionRefusal> {
  const likeliest = times[0];
  const pushed = pushedOn(candidates, likeliest, input);
  if (pushed !== null) return pushed;
  const flying = flightOnly(candidates, likeliest);
  if (flying === "later") {
    const from = likeliest.releaseS + candidates.frameS / 2;
    return fitMotion({ ...input, marks: input.marks.filter((mark) => mark.timeS > from) });
  }
  if (flying !== null) {
    const posterior = candidates.fit(flying);
    if (posterior === null) return refuse("undetermined");
    const still = pushedOn(candidates, flying, input);
    if (still !== null) return still;
    return mixedFit([{ weight: 1, posterior }], linear, [flying], doubted, input, "flight");
  }
  const settled = times.map((one) => withSpreads(candidates, one));
  return mixedFit(releaseMixture(candidates, settled, quick), linear, settled, doubted, input, "push");
}

function candidatesOf(problem: MotionProblem, initial: InitialMotion, { release, powered }: MotionInput) {
  return new MotionCandidates(problem, initial, release, powered === true ? PUSHED_ON : SLOWED_BY_AIR);
}

/** The motion linearised about the times given, or where there are none, about those of a scan. */
function placedMotion(
  marks: readonly PlaneMark[],
  input: MotionInput,
  settled: Settled | undefined,
): Result<{ readonly seen: readonly FrameMarks[]; readonly linear: Linearised }, MotionRefusal> {
  const seen = byFrame(marks);
  if (seen.length < NEEDED_FRAMES) {
    return refuse("too-few-frames", { frames: seen.length, needed: NEEDED_FRAMES });
  }
  const shape = bodyShape(seen, input.axis);
  if (shape === null) return refuse("no-axis");
  const looked = initialMotion(seen, shape);
  if (!looked.ok) return looked;
  const initial = looked.value;
  const times = settled === undefined ? scan(problemAt(seen, shape, initial), initial, input) : ok(settled);
  if (!times.ok) return times;
  const sized = { ...initial, typical: times.value.typical };
  const linear = linearised(seen, input.axis, shape, sized, times.value);
  return linear === null ? refuse("undetermined") : ok({ seen, linear });
}

function scan(problem: MotionProblem, initial: InitialMotion, input: MotionInput) {
  const coarse = scanRelease(candidatesOf(problem, initial, input));
  if (!coarse.ok) return coarse;
  // What is typical of the push is known once it is known where it ends: then looked at again on that scale.
  const typical = typicalOf(candidatesOf(problem, initial, input), coarse.value);
  return typical === null ? coarse : scanRelease(candidatesOf(problem, { ...initial, typical }, input));
}
