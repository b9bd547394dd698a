import type { Unit } from "../quantity/measured.ts";
import type { QuantityName } from "./shot-result.ts";

/** What a result is called on paper, and the SI unit it is kept in. */
export interface QuantityWords {
  readonly words: string;
  readonly unit: Unit;
}

/** Every result by name, in the order a report lists them. */
export const QUANTITIES: Readonly<Record<QuantityName, QuantityWords>> = {
  releaseSpeed: { words: "Release speed", unit: "m/s" },
  peakAcceleration: { words: "Peak acceleration", unit: "m/s²" },
  pitchRateAtRelease: { words: "Pitch rate at release", unit: "rad/s" },
  launchAngle: { words: "Launch angle", unit: "rad" },
  pitchAtRelease: { words: "Pitch at release", unit: "rad" },
  attitudeToPath: { words: "Body to path at release", unit: "rad" },
  meanPushAcceleration: { words: "Mean acceleration of the push", unit: "m/s²" },
  meanPitchAcceleration: { words: "Mean pitch acceleration of the push", unit: "rad/s²" },
  pushLineOffset: { words: "Push line below the centre of gravity", unit: "m" },
  peakBeforeRelease: { words: "Peak before release", unit: "s" },
  onsetJerk: { words: "Jerk from first motion to peak", unit: "m/s³" },
  pushTime: { words: "Push time", unit: "s" },
  stroke: { words: "Travel to release", unit: "m" },
  releaseTime: { words: "Time of release", unit: "s" },
  peakForce: { words: "Peak force on the airframe", unit: "N" },
  meanForce: { words: "Mean force on the airframe", unit: "N" },
  impulse: { words: "Impulse", unit: "N·s" },
  pushWork: { words: "Work of the push", unit: "J" },
  peakPower: { words: "Peak power", unit: "W" },
  dragAfterRelease: { words: "Slowed by the air after release", unit: "m/s²" },
  stallSpeed: { words: "Stall speed", unit: "m/s" },
  stallMargin: { words: "Stall margin", unit: "1" },
  loadFactor: { words: "Load factor", unit: "1" },
  yawRateAtRelease: { words: "Yaw rate at release", unit: "rad/s" },
  peakBaseReaction: { words: "Peak push back on the base", unit: "N" },
  endStopEnergy: { words: "Energy into the end stop", unit: "J" },
  endStopMeanForce: { words: "Mean force of the end stop", unit: "N" },
  endStopPeakForce: { words: "Peak force of the end stop", unit: "N" },
  fillTime: { words: "Time to fill the tank", unit: "s" },
  shotsPerFill: { words: "Shots from one fill", unit: "1" },
  liftOffTime: { words: "Lift-off after ignition", unit: "s" },
  burnoutTime: { words: "Burnout after ignition", unit: "s" },
  burnoutSpeed: { words: "Speed at burnout", unit: "m/s" },
  separationTime: { words: "Booster parts after ignition", unit: "s" },
  apogee: { words: "Greatest height", unit: "m" },
  speedFromApogee: { words: "Release speed from the altimeter", unit: "m/s" },
  liftAvailable: { words: "Lift available over weight at release", unit: "1" },
  gustLoad: { words: "Load added by the gust, in weights", unit: "1" },
  heightAfterOneSecond: { words: "Height above release after 1 s", unit: "m" },
  pitchAfterOneSecond: { words: "Pitch after 1 s at the rate of release", unit: "rad" },
  timeToGround: { words: "Time to the ground without control", unit: "s" },
};

export const QUANTITY_NAMES = Object.keys(QUANTITIES) as readonly QuantityName[];

/**
 * Whether measured and predicted may stand side by side. The time of release may not: the clip counts from
 * its first frame, the model from the valve starting to open.
 */
export function isComparable(name: QuantityName): boolean {
  return name !== "releaseTime";
}
