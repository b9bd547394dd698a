import { type FlownPlace, pathBend } from "../clock/path-bend.ts";
import { type FrameMarks, posePoints } from "../kinematics/body-shape.ts";
import type { MotionFit } from "../kinematics/fitted-motion.ts";
import { rigidPose } from "../kinematics/rigid-pose.ts";
import type { Measured } from "../quantity/measured.ts";

const USEFUL_U = 0.15; // less sure, it finds no mistake that a person would not see

/**
 * Bend of the path of the centre of gravity after release over what gravity alone gives it, each frame's
 * place by its own marks.
 * @param releaseS s, when the flight begins for certain
 * @param lengthU relative standard uncertainty of lengths  @param rateU of the capture rate
 * @returns null when the flight is too short, too steep or too uncertain to tell
 */
export function flightBend(
  fit: MotionFit,
  releaseS: number,
  lengthU: number,
  rateU: number,
): Measured | null {
  const places = fit.frames.flatMap((marks) => {
    const place = placeOf(marks, fit);
    return place !== null && place.timeS > releaseS ? [place] : [];
  });
  const bend = pathBend(places);
  if (!bend.ok) return null;
  const { value } = bend.value;
  const noise = Math.max(1, Math.sqrt(fit.best.noiseVariance));
  const u = Math.hypot(noise * bend.value.u, value * lengthU, 2 * value * rateU);
  return u <= USEFUL_U ? { value, u } : null;
}

/** The centre of gravity as one frame shows it; u of either coordinate, the larger. */
function placeOf(marks: FrameMarks, fit: MotionFit): FlownPlace | null {
  const pose = rigidPose(posePoints(marks, fit.shape));
  const [mark] = marks;
  if (!pose.ok || mark === undefined) return null;
  const { x, y, covariance } = pose.value;
  const variance = Math.max(covariance[0]?.[0] ?? 0, covariance[1]?.[1] ?? 0);
  return { timeS: mark.timeS, x, y, u: Math.sqrt(variance) };
}
