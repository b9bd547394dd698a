import type { MotionNumbers } from "../kinematics/motion-numbers.ts";
import type { MotionNumberName } from "../kinematics/withheld.ts";
import { STANDARD_GRAVITY } from "../quantity/gravity.ts";
import type { QuantityName } from "../results/shot-result.ts";
import type { Airframe } from "../session/schema.ts";

/** What of the airframe turns motion into force: nominal values or disturbed ones; null when not given. */
export interface Body {
  readonly massKg: number | null;
  readonly pitchInertiaKgM2: number | null;
}

/** Nominal mass and inertia of an airframe. */
export function bodyOf({ massKg, pitchInertiaKgM2 }: Airframe): Body {
  return { massKg: massKg?.value ?? null, pitchInertiaKgM2: pitchInertiaKgM2?.value ?? null };
}

/** What of the motion each result needs that may not be known; the others always are. */
const NEEDS: Readonly<Partial<Record<QuantityName, readonly MotionNumberName[]>>> = {
  releaseTime: ["releaseS"],
  peakAcceleration: ["peakAcceleration"],
  meanPushAcceleration: ["meanAcceleration"],
  meanPitchAcceleration: ["meanPitchAcceleration"],
  peakBeforeRelease: ["peakBeforeReleaseS"],
  onsetJerk: ["onsetJerk"],
  pushTime: ["pushTime"],
  stroke: ["stroke"],
  dragAfterRelease: ["drag"],
  loadFactor: ["peakAcceleration"],
  peakForce: ["peakAcceleration"],
  meanForce: ["meanAcceleration"],
  pushWork: ["stroke"],
  peakPower: ["peakPowerPerKg"],
  pushLineOffset: ["meanAcceleration", "meanPitchAcceleration"],
};

/** Whether a result rests on nothing that is withheld. */
export function isKnown(name: QuantityName, withheld: ReadonlySet<MotionNumberName>): boolean {
  return !(NEEDS[name] ?? []).some((needed) => withheld.has(needed));
}

export type ResultNumbers = Readonly<Partial<Record<QuantityName, number>>>;

/**
 * All results of one motion. With mass m, inertia I, launch direction phi, release speed v after push time T
 * and travel L: force F = m (a + g sin phi) is what the launcher puts on the airframe along the push (the
 * air's own push is left out: at these speeds it is a per cent of F); impulse m v; work m v²/2 + m g L sin
 * phi; push-line offset d = I dw/(m (v + g sin phi T)), from I alpha = F d integrated over the push, positive
 * when the push passes below the centre of gravity and turns the nose up.
 */
export function resultNumbers(motion: MotionNumbers, { massKg, pitchInertiaKgM2 }: Body): ResultNumbers {
  const weightShare = STANDARD_GRAVITY * Math.sin(motion.direction);
  const results: Partial<Record<QuantityName, number>> = {
    releaseTime: motion.releaseS,
    releaseSpeed: motion.speed,
    peakAcceleration: motion.peakAcceleration,
    pitchRateAtRelease: motion.pitchRate,
    launchAngle: motion.direction,
    pitchAtRelease: motion.pitch,
    attitudeToPath: motion.attitude,
    meanPushAcceleration: motion.meanAcceleration,
    meanPitchAcceleration: motion.meanPitchAcceleration,
    peakBeforeRelease: motion.peakBeforeReleaseS,
    onsetJerk: motion.onsetJerk,
    pushTime: motion.pushTime,
    stroke: motion.stroke,
    dragAfterRelease: motion.drag,
    loadFactor: motion.peakAcceleration / STANDARD_GRAVITY + Math.sin(motion.direction),
  };
  if (massKg === null) return results;
  results.peakForce = massKg * (motion.peakAcceleration + weightShare);
  results.meanForce = massKg * (motion.meanAcceleration + weightShare);
  results.impulse = massKg * motion.speed;
  results.pushWork = (massKg * motion.speed ** 2) / 2 + massKg * weightShare * motion.stroke;
  results.peakPower = massKg * motion.peakPowerPerKg;
  if (pitchInertiaKgM2 === null) return results;
  const push = massKg * (motion.meanAcceleration + weightShare);
  results.pushLineOffset = (pitchInertiaKgM2 * motion.meanPitchAcceleration) / push;
  return results;
}
