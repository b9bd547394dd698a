import type { Unit } from "../quantity/measured.ts";

/**
 * What a result is called on paper, the SI unit it is kept in, and in a sentence how a
 * measured one is obtained.
 */
export interface QuantityWords {
  readonly words: string;
  readonly unit: Unit;
  readonly how?: string;
}

const RELEASE = "fitted to all marks, not smoothed across release";

const TABLE = {
  releaseSpeed: {
    words: "Release speed",
    unit: "m/s",
    how: `speed of the centre of gravity at release, ${RELEASE}`,
  },
  peakAcceleration: {
    words: "Peak acceleration",
    unit: "m/s²",
    how: "largest acceleration of the centre of gravity along the launch direction during the push; the curve of the fit",
  },
  pitchRateAtRelease: { words: "Pitch rate at release", unit: "rad/s", how: `nose up positive, ${RELEASE}` },
  launchAngle: {
    words: "Launch angle",
    unit: "rad",
    how: "direction of the centre of gravity's velocity at release above the horizontal",
  },
  pitchAtRelease: {
    words: "Pitch at release",
    unit: "rad",
    how: "pitch reference line above the horizontal at release",
  },
  attitudeToPath: {
    words: "Body to path at release",
    unit: "rad",
    how: "pitch reference line above the direction of motion at release",
  },
  meanPushAcceleration: {
    words: "Mean acceleration of the push",
    unit: "m/s²",
    how: "speed gained over the time it took, from 2 to 98 % of the release speed",
  },
  meanPitchAcceleration: {
    words: "Mean pitch acceleration of the push",
    unit: "rad/s²",
    how: "pitch rate gained over the same time as the speed, from 2 to 98 % of the release speed",
  },
  pushLineOffset: {
    words: "Push line below the centre of gravity",
    unit: "m",
    how: "inertia times pitch acceleration over force, means over the push; positive turns the nose up",
  },
  peakBeforeRelease: {
    words: "Peak before release",
    unit: "s",
    how: "time from the peak acceleration to release",
  },
  onsetJerk: {
    words: "Jerk from first motion to peak",
    unit: "m/s³",
    how: "peak acceleration over the time from 2 % of the release speed to the peak",
  },
  pushTime: { words: "Push time", unit: "s", how: "from 2 to 98 % of the release speed" },
  stroke: {
    words: "Travel to release",
    unit: "m",
    how: "travel of the centre of gravity from rest to release",
  },
  releaseTime: {
    words: "Time of release",
    unit: "s",
    how: "where the push ends, and only gravity and the air act on; clock zero at frame 0",
  },
  peakForce: {
    words: "Peak force on the airframe",
    unit: "N",
    how: "mass times peak acceleration and gravity along the push",
  },
  meanForce: {
    words: "Mean force on the airframe",
    unit: "N",
    how: "mass times mean acceleration and gravity along the push",
  },
  impulse: { words: "Impulse", unit: "N·s", how: "mass times release speed" },
  pushWork: {
    words: "Work of the push",
    unit: "J",
    how: "kinetic energy at release and height gained on the way",
  },
  peakPower: { words: "Peak power", unit: "W", how: "largest product of speed and force during the push" },
  dragAfterRelease: {
    words: "Slowed by the air after release",
    unit: "m/s²",
    how: "mean of what the air takes along the launch direction over the marked flight, gravity taken out",
  },
  stallSpeed: { words: "Stall speed", unit: "m/s" },
  stallMargin: { words: "Stall margin", unit: "1" },
  loadFactor: {
    words: "Load factor",
    unit: "1",
    how: "peak acceleration and weight along the push, over weight",
  },
  boostLoadFactor: { words: "Load factor until burnout", unit: "1" },
  yawRateAtRelease: { words: "Yaw rate at release", unit: "rad/s" },
  peakBaseReaction: { words: "Peak push back on the base", unit: "N" },
  endStopEnergy: { words: "Energy into the end stop", unit: "J" },
  endStopMeanForce: { words: "Mean force of the end stop", unit: "N" },
  endStopPeakForce: { words: "Peak force of the end stop", unit: "N" },
  lineStretch: { words: "Stretch of the line over its free length", unit: "1" },
  anchorPull: { words: "Pull on the line's anchor", unit: "N" },
  fillTime: { words: "Time to fill the tank", unit: "s" },
  shotsPerFill: { words: "Shots from one fill", unit: "1" },
  liftOffTime: { words: "Lift-off after ignition", unit: "s" },
  burnoutTime: { words: "Burnout after ignition", unit: "s" },
  burnoutSpeed: { words: "Speed at burnout", unit: "m/s" },
  separationTime: { words: "Booster parts after ignition", unit: "s" },
  apogee: { words: "Greatest height", unit: "m" },
  stabilityMargin: { words: "Stability margin, in body diameters", unit: "1" },
  speedFromApogee: { words: "Release speed from the altimeter", unit: "m/s" },
  liftAvailable: { words: "Lift available over weight at release", unit: "1" },
  gustLoad: { words: "Load added by the gust, in weights", unit: "1" },
  heightAfterOneSecond: { words: "Height above release after 1 s", unit: "m" },
  pitchAfterOneSecond: { words: "Pitch after 1 s at the rate of release", unit: "rad" },
  timeToGround: { words: "Time to the ground without control", unit: "s" },
  range: { words: "Comes down ahead of release, unflown", unit: "m" },
  windDrift: { words: "Of that by the wind along the launch", unit: "m" },
  sideDrift: { words: "Comes down to the right, unflown", unit: "m" },
  impactSpeed: { words: "Speed on reaching the ground", unit: "m/s" },
} satisfies Readonly<Record<string, QuantityWords>>;

/** Names of results, the same in results.json, truth.json and on screen. */
export type QuantityName = keyof typeof TABLE;

/** Every result by name, in the order a report lists them. */
export const QUANTITIES: Readonly<Record<QuantityName, QuantityWords>> = TABLE;

export const QUANTITY_NAMES = Object.keys(QUANTITIES) as readonly QuantityName[];

/**
 * Whether measured and predicted may stand side by side. The time of release may not: the clip counts from
 * its first frame, the model from the valve starting to open.
 */
export function isComparable(name: QuantityName): boolean {
  return name !== "releaseTime";
}
