import { forwardSubstitute } from "../numeric/cholesky.ts";
import { lastOf } from "../quantity/known-element.ts";
import type { Measured } from "../quantity/measured.ts";
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
import { grossLimit, grossMarks, markResiduals } from "./mark-residuals.ts";
import { MotionCandidates, type Settled } from "./motion-candidates.ts";
import type { MotionPosterior } from "./motion-posterior.ts";
import type { MotionProblem } from "./normal-equations.ts";
import type { ReleaseInput } from "./release-evidence.ts";
import { releaseMixture, type WeightedPosterior, withSpreads } from "./release-mixture.ts";
import { LEAST_PUSH_FRAMES, refineTimes, scanRelease, typicalOf } from "./release-search.ts";
import { PUSHED_ON, SLOWED_BY_AIR } from "./smoothness-prior.ts";

export type MotionRefusal =
  | "no-axis"
  | "too-few-frames"
  | "no-motion"
  | "no-push"
  | "no-flight"
  | "pushed-on"
  | "undetermined";

const NEEDED_FRAMES = 10; // three of push, a few of flight and some to see where it starts
// -2 log of the odds a push must have over flight from the first mark on: it would be stated from few frames
const LEAST_LEAD = 2 * Math.log(20);
// chance that the last mark is still of the push, beyond which release is not stated
const MOST_UNSEEN = 0.05;

export interface MotionInput {
  readonly marks: readonly PlaneMark[];
  readonly axis: BodyAxis;
  readonly release: ReleaseInput;
  /** Whether a motor is expected to push on after release; false where left out. */
  readonly powered?: boolean;
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
  /**
   * What the marks show: the push and its end, or nothing but flight. Release is then the first mark of it,
   * and says nothing of the push.
   */
  readonly seen: "push" | "flight";
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
  const first = near?.[0];
  let setAside: readonly PlaneMark[] = [];
  let readmitted = false;
  for (;;) {
    const frames = byFrame(input.marks.filter((mark) => !setAside.includes(mark)));
    if (frames.length < NEEDED_FRAMES) {
      return refuse("too-few-frames", { frames: frames.length, needed: NEEDED_FRAMES });
    }
    const shape = bodyShape(frames, input.axis);
    if (shape === null) return refuse("no-axis");
    const looked = initialMotion(frames, shape);
    if (!looked.ok) return looked;
    const initial = looked.value;
    const about = linearisedAbout(frames, shape, initial, input, first);
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
    return motionOf(linear, input, near, setAside);
  }
}

function candidatesOf(problem: MotionProblem, initial: InitialMotion, { release, powered }: MotionInput) {
  return new MotionCandidates(problem, initial, release, powered === true ? PUSHED_ON : SLOWED_BY_AIR);
}

/** The motion of marks that are all good, linearised: its times refined, or near an earlier fit's. */
function motionOf(
  linear: Linearised,
  input: MotionInput,
  near: readonly Settled[] | null,
  setAside: readonly PlaneMark[],
): Result<MotionFit, MotionRefusal> {
  const candidates = candidatesOf(linear.problem, linear.initial, input);
  const times = near === null ? refineTimes(candidates, linear.settled) : [linear.settled, ...near.slice(1)];
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
    return mixedFit([{ weight: 1, posterior }], linear, [flying], setAside, "flight");
  }
  const settled = times.map((one) => withSpreads(candidates, one));
  return mixedFit(releaseMixture(candidates, settled, near !== null), linear, settled, setAside, "push");
}

/**
 * A refusal where what follows release is no flight: it is likelier that something pushes on, or brakes, than
 * that the air does.
 */
function pushedOn(
  candidates: MotionCandidates,
  settled: Settled,
  { powered }: MotionInput,
): Result<never, "pushed-on"> | null {
  if (powered === true || settled.releaseS > candidates.endS) return null;
  const { smoothness } = settled;
  const free = { ...settled, smoothness: { ...smoothness, air: PUSHED_ON } };
  const posterior = candidates.fit(free);
  if (posterior === null) return null;
  if (candidates.score(posterior) + LEAST_LEAD > candidates.scoreAt(settled)) return null;
  const { flight } = posterior.basis;
  let mean = 0;
  for (let i = 0; i < flight.count; i++) mean += posterior.mean[flight.first + i] / flight.count;
  return refuse("pushed-on", { acceleration: mean });
}

/**
 * Whether marks show no push, or less than can be told: null when they do; the flight alone, from the first
 * mark on, when they begin with it; "later" when a push of too few frames comes before it.
 */
function flightOnly(candidates: MotionCandidates, settled: Settled): Settled | "later" | null {
  const { frameS, initial, times } = candidates;
  const short = settled.releaseS - settled.startS < (LEAST_PUSH_FRAMES + 0.1) * frameS;
  if (initial.atRest) return short ? "later" : null;
  const flying: Settled = {
    ...settled,
    startS: times[0] - 2e-3 * frameS,
    releaseS: times[0] - 1e-3 * frameS,
    spreads: { startS: { before: 0, after: 0 }, releaseS: { before: 0, after: 0 } },
  };
  const lead = candidates.scoreAt(flying) - candidates.scoreAt(settled);
  return short || lead < LEAST_LEAD ? flying : null;
}

function mixedFit(
  parts: readonly WeightedPosterior[],
  linear: Linearised,
  settled: readonly Settled[],
  setAside: readonly PlaneMark[],
  shown: MotionFit["seen"],
): Result<MotionFit, MotionRefusal> {
  if (parts.length === 0) return refuse("undetermined");
  const { initial, shape, frames, converged } = linear;
  const endS = lastOf(frames)[0]?.timeS ?? 0;
  const unseen = parts.filter(({ posterior }) => posterior.basis.releaseS > endS);
  if (unseen.reduce((sum, part) => sum + part.weight, 0) > MOST_UNSEEN) {
    const { value, u } = speedAtEnd(unseen[0].posterior, endS);
    return refuse("no-flight", { speed: value, speedU: u });
  }
  const ended = parts.filter(({ posterior }) => posterior.basis.releaseS <= endS);
  const total = ended.reduce((sum, part) => sum + part.weight, 0);
  const weighted = ended.map(({ weight, posterior }) => ({ weight: weight / total, posterior }));
  const best = weighted[0].posterior;
  const { directionRad } = initial;
  return ok({
    parts: weighted,
    best,
    directionRad,
    initial,
    atRest: shown === "push" && initial.atRest,
    seen: shown,
    shape,
    frames,
    setAside,
    settled,
    converged,
  });
}

/** m/s along the launch direction at the last mark, where all of the marks are push. */
function speedAtEnd(posterior: MotionPosterior, endS: number): Measured {
  const { basis, mean, factor, noiseVariance } = posterior;
  const row = new Float64Array(mean.length);
  row.set(basis.row(endS, 1));
  let [value, variance] = [0, 0];
  row.forEach((x, i) => {
    value += x * mean[i];
  });
  for (const z of forwardSubstitute(factor, mean.length, row)) variance += z * z;
  return { value, u: Math.sqrt(variance * noiseVariance) };
}

/** The motion linearised about the times given, or where there are none, about those of a scan. */
function linearisedAbout(
  frames: readonly FrameMarks[],
  shape: BodyShape,
  initial: InitialMotion,
  input: MotionInput,
  settled: Settled | undefined,
): Result<Linearised, MotionRefusal> {
  if (settled !== undefined) {
    const sized = { ...initial, typical: settled.typical };
    const linear = linearised(frames, input.axis, shape, sized, settled);
    return linear === null ? refuse("undetermined") : ok(linear);
  }
  const problem = problemAt(frames, shape, initial);
  const coarse = scanRelease(candidatesOf(problem, initial, input));
  if (!coarse.ok) return coarse;
  // What is typical of the push is known once it is known where it ends: then looked at again on that scale.
  const typical = typicalOf(candidatesOf(problem, initial, input), coarse.value);
  const sized = { ...initial, typical: typical ?? initial.typical };
  const scanned = scanRelease(candidatesOf(problem, sized, input));
  if (!scanned.ok) return scanned;
  const linear = linearised(frames, input.axis, shape, sized, scanned.value);
  return linear === null ? refuse("undetermined") : ok(linear);
}

/**
 * Marks set aside early that the fit without them does not disown: they had only been pulled by a worse one.
 */
function innocentMarks(setAside: readonly PlaneMark[], linear: Linearised): readonly PlaneMark[] {
  const limit = grossLimit(linear.residuals);
  const residuals = markResiduals(
    setAside.map((mark) => [mark]),
    linear.shape,
    linear.initial.directionRad,
    linear.poseAt,
  );
  return residuals.filter((residual) => residual.z <= limit).map((residual) => residual.mark);
}
