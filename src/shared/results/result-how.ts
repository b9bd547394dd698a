import type { QuantityName } from "./shot-result.ts";

const RELEASE = "fitted to all marks, not smoothed across release";

/** One sentence on how each measured result is obtained. */
export const RESULT_HOW: Readonly<Partial<Record<QuantityName, string>>> = {
  releaseTime: "where the push acceleration ends; clock zero at frame 0",
  releaseSpeed: `speed of the centre of gravity at release, ${RELEASE}`,
  peakAcceleration:
    "largest acceleration of the centre of gravity along the launch direction during the push, over motions drawn from the fit",
  pitchRateAtRelease: `nose up positive, ${RELEASE}`,
  launchAngle: "direction of the centre of gravity's velocity at release above the horizontal",
  pitchAtRelease: "pitch reference line above the horizontal at release",
  attitudeToPath: "pitch reference line above the direction of motion at release",
  meanPushAcceleration: "speed gained over the time from first motion to release",
  meanPitchAcceleration: "pitch rate gained over the time from first motion to release",
  peakBeforeRelease: "time from the peak acceleration to release",
  onsetJerk: "peak acceleration over the time from first motion to the peak",
  pushTime: "first motion to release",
  stroke: "travel of the centre of gravity from first motion to release",
  dragAfterRelease:
    "mean of what the air takes along the launch direction over the marked flight, gravity taken out",
  loadFactor: "peak acceleration and weight along the push, over weight",
  peakForce: "mass times peak acceleration and gravity along the push",
  meanForce: "mass times mean acceleration and gravity along the push",
  impulse: "mass times release speed",
  pushWork: "kinetic energy at release and height gained on the way",
  peakPower: "largest product of speed and force during the push",
  pushLineOffset:
    "inertia times pitch acceleration over force, means over the push; positive turns the nose up",
};
