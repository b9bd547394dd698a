import { medianOf } from "../numeric/order-statistics.ts";
import { type BodyAxis, type BodyShape, bodyShape, type FrameMarks, type PlaneMark } from "./body-shape.ts";
import { type Linearised, problemAt } from "./linearised-motion.ts";
import type { PoseAt } from "./mark-residuals.ts";
import { meanPose } from "./mean-motion.ts";
import { MotionCandidates } from "./motion-candidates.ts";
import { suspectedRuns } from "./off-runs.ts";
import { residualsAsSeen } from "./row-lag.ts";

const LEAST_GAIN = 40; // of the noise's variance, beyond what as many good marks would take with them
const LEAST_OFF = 3; // u of a mark: less than that several good marks together may be off
const STEPS = 3; // of smoothness: the push had bent to follow the run
const MARGIN = 5; // marks to each side that may belong to the run too

/** What to look for runs in: a fit of the marks, and the times it rests on. */
export type DoubtedFit = Pick<Linearised, "frames" | "initial" | "settled" | "residuals">;

/**
 * The marks of one point that lie off together over a stretch of frames, as when a follower holds on to
 * another feature for a while. Of the points that seem to be off in the same frames the one at fault is that
 * without which the motion fits best; the run then ends where marks are nearer to the motion than to the run.
 * @param seen the marks in the fit, as they were seen
 * @returns null when no run is clear
 */
export function runAtFault(
  seen: readonly FrameMarks[],
  axis: BodyAxis,
  fit: DoubtedFit,
): readonly PlaneMark[] | null {
  const suspects = suspectedRuns(fit.residuals);
  const [clearest] = suspects;
  if (clearest === undefined) return null;
  const whole = fitWithout(fit, axis, new Set());
  const stretch = new Set(clearest.marks.map(({ frame }) => frame));
  const inStretch = seen.flat().filter(({ frame }) => stretch.has(frame));
  const trials = [...new Set(inStretch.map(({ point }) => point))].flatMap((point) => {
    const run = inStretch.filter((mark) => mark.point === point);
    return run.length < clearest.marks.length / 2
      ? []
      : (fitWithout(fit, axis, new Set(run.map(slot))) ?? []);
  });
  const best = trials.reduce<Trial | null>(
    (a, b) => (a === null || gain(whole, b) > gain(whole, a) ? b : a),
    null,
  );
  if (best === null || gain(whole, best) < LEAST_GAIN) return null;
  return wholeRun(seen, best);
}

interface Trial {
  readonly without: ReadonlySet<string>;
  readonly deviance: number;
  readonly noiseVariance: number;
  readonly shape: BodyShape;
  readonly directionRad: number;
  readonly poseAt: PoseAt;
}

function slot({ point, frame }: PlaneMark): string {
  return `${frame} ${point}`;
}

/**
 * How much less is left unexplained without the run, in the noise's variance, less what its marks would take.
 */
function gain(whole: Trial | null, { without, deviance, noiseVariance }: Trial): number {
  if (whole === null) return Number.NEGATIVE_INFINITY;
  return (whole.deviance - deviance) / noiseVariance - 2 * without.size;
}

function fitWithout(
  { frames, initial, settled }: DoubtedFit,
  axis: BodyAxis,
  without: ReadonlySet<string>,
): Trial | null {
  const left = frames.map((marks) => marks.filter((mark) => !without.has(slot(mark))));
  const isLeft = (_: unknown, i: number) => left[i].length > 0;
  const kept = left.filter(isLeft);
  const shape = bodyShape(kept, axis);
  if (shape === null) return null;
  const about = { ...initial, angles: initial.angles.filter(isLeft) };
  const problem = problemAt(kept, shape, about);
  const candidates = new MotionCandidates(problem, about);
  const fit = candidates.fit(candidates.smoothed(settled, STEPS));
  if (fit === null) return null;
  const { directionRad } = initial;
  const free = problem.coordinates - 3 * fit.basis.push.first;
  const poseAt: PoseAt = (timeS) => meanPose(fit, directionRad, timeS);
  return {
    without,
    deviance: fit.noiseVariance * free,
    noiseVariance: fit.noiseVariance,
    shape,
    directionRad,
    poseAt,
  };
}

/**
 * The run as the fit without it shows it: from its core outwards as long as marks are nearer to it than to
 * none.
 */
function wholeRun(
  seen: readonly FrameMarks[],
  { without, noiseVariance, shape, directionRad, poseAt }: Trial,
): readonly PlaneMark[] | null {
  const flat = seen.flat();
  const point = flat.find((mark) => without.has(slot(mark)))?.point;
  const own = flat.filter((mark) => mark.point === point);
  const residuals = residualsAsSeen(
    own.map((mark) => [mark]),
    shape,
    directionRad,
    poseAt,
  );
  const core = residuals.flatMap(({ mark }, i) => (without.has(slot(mark)) ? [i] : []));
  const ofRun = core.map((i) => residuals[i]);
  const [x, y] = [medianOf(ofRun.map(({ dx }) => dx)), medianOf(ofRun.map(({ dy }) => dy))];
  const off = Math.hypot(x, y);
  const u = medianOf(ofRun.map(({ mark }) => mark.u)) * Math.sqrt(Math.max(1, noiseVariance));
  if (!(off > LEAST_OFF * u)) return null;
  const belongs = (i: number) => {
    const residual = residuals[i];
    return residual !== undefined && residual.dx * x + residual.dy * y > (off * off) / 2;
  };
  let [from, to] = [core[0], core[core.length - 1]];
  while (from < to && !belongs(from)) from++;
  while (to > from && !belongs(to)) to--;
  for (let left = MARGIN; left > 0 && belongs(from - 1); left--) from--;
  for (let left = MARGIN; left > 0 && belongs(to + 1); left--) to++;
  return residuals.slice(from, to + 1).map(({ mark }) => mark);
}
