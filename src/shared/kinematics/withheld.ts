import type { MotionFit } from "./fitted-motion.ts";
import { estimateOf, type MotionSample } from "./motion-estimates.ts";
import type { MotionNumbers } from "./motion-numbers.ts";

export type MotionNumberName = keyof MotionNumbers;

/** What hangs on where the motion began, which marks that start later do not show. */
const FROM_REST = [
  "startS",
  "pushTime",
  "meanAcceleration",
  "meanPitchAcceleration",
  "stroke",
  "onsetJerk",
] as const satisfies readonly MotionNumberName[];

/** What is read off the curve of the push. */
const OF_PUSH = [
  "peakAcceleration",
  "peakBeforeReleaseS",
  "peakPowerPerKg",
] as const satisfies readonly MotionNumberName[];

const MOST_UNSEEN_PEAK = 0.1; // share of the motions drawn whose peak lies at the first mark
const LARGEST_JERK_U = 0.5; // of its value: beyond this the onset is too short to say how steep it is

/**
 * The numbers of a fit that its marks do not carry, however small the spread of its draws: what happened
 * before the first mark, a push that was not seen, the steepness of an onset shorter than the frames
 * resolve, and what the air takes from an airframe that is pushed on.
 */
export function withheldNumbers(fit: MotionFit, sample: MotionSample): ReadonlySet<MotionNumberName> {
  const ofFlight: readonly MotionNumberName[] = fit.powered ? ["drag"] : [];
  if (fit.seen === "flight") return new Set(["releaseS", ...FROM_REST, ...OF_PUSH, ...ofFlight]);
  const jerk = estimateOf(sample, (numbers) => numbers.onsetJerk);
  const steep = jerk.u > LARGEST_JERK_U * Math.abs(jerk.value);
  if (fit.atRest) return new Set<MotionNumberName>([...(steep ? (["onsetJerk"] as const) : []), ...ofFlight]);
  const pushS = fit.best.basis.releaseS - fit.best.basis.startS;
  const early = sample.draws.filter(({ peakBeforeReleaseS }) => peakBeforeReleaseS > 0.95 * pushS);
  const unseenPeak = early.length > MOST_UNSEEN_PEAK * sample.draws.length;
  return new Set([...FROM_REST, ...(unseenPeak ? OF_PUSH : []), ...ofFlight]);
}
