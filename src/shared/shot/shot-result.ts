import type { Measured, Quantity } from "../quantity/measured.ts";
import type { Notice } from "../quantity/notice.ts";

/** Names of results, the same in results.json, truth.json and on screen. */
export type QuantityName =
  | "releaseTime"
  | "releaseSpeed"
  | "peakAcceleration"
  | "pitchRateAtRelease"
  | "launchAngle"
  | "pitchAtRelease"
  | "attitudeToPath"
  | "meanPushAcceleration"
  | "meanPitchAcceleration"
  | "peakBeforeRelease"
  | "onsetJerk"
  | "dragAfterRelease"
  | "peakForce"
  | "meanForce"
  | "impulse"
  | "pushWork"
  | "peakPower"
  | "pushLineOffset"
  | "pushTime"
  | "stroke"
  | "stallSpeed"
  | "stallMargin"
  | "loadFactor";

/** The four a person reads first. */
export const HEADLINES = ["releaseSpeed", "peakAcceleration", "pitchRateAtRelease", "launchAngle"] as const;
export type Headline = (typeof HEADLINES)[number];

/** One source's part of a result's standard uncertainty, in the result's unit. */
export interface BudgetLine {
  readonly source:
    | "marks"
    | "scale"
    | "lens"
    | "plane"
    | "clock"
    | "shutter"
    | "plumb"
    | "centre of gravity"
    | "mass"
    | "pitch inertia"
    | "release";
  readonly u: number;
}

/** A curve with its standard uncertainty on a common time axis; arrays of equal length n. */
export interface Curve {
  readonly value: readonly number[];
  readonly u: readonly number[];
}

/** Everything below on one clock: seconds from release. Positions in metres from the place at rest, x forward, y up. */
export interface MotionCurves {
  /** [n], s from release, increasing. */
  readonly timeS: readonly number[];
  /** m, travel along the launch direction. */
  readonly position: Curve;
  /** m/s, magnitude of the velocity of the centre of gravity. */
  readonly speed: Curve;
  /** m/s², along the launch direction. */
  readonly acceleration: Curve;
  /** rad, nose up positive, from the horizontal. */
  readonly pitch: Curve;
  /** rad/s. */
  readonly pitchRate: Curve;
}

/** The pose measured in one frame, before the fit in time: the dots in the figures. */
export interface PoseDot {
  readonly frame: number;
  readonly timeS: number;
  readonly positionM: number;
  readonly pitchRad: number | null;
}

/** One mark and how far the fit leaves it: residuals in px of the picture; `z` is in units of the mark's own u. */
export interface MarkResidual {
  readonly pointId: string;
  readonly frame: number;
  readonly dxPx: number;
  readonly dyPx: number;
  readonly z: number;
}

/** The model's curves on the same clock as the measurement (s from measured release, aligned as `alignment` says). */
export interface PredictionCurves {
  readonly timeS: readonly number[];
  readonly position: readonly number[];
  readonly speed: readonly number[];
  readonly acceleration: readonly number[];
}

export interface Prediction {
  readonly quantities: Readonly<Partial<Record<QuantityName, Quantity>>>;
  readonly curves: PredictionCurves;
  /** J, energy of the compressed gas in the tank before the shot, isentropic expansion to the air outside. */
  readonly storedEnergyJ: Measured;
}

export interface Comparison {
  /** predicted - measured, with combined standard uncertainty, and in units of it. */
  readonly differences: readonly {
    readonly name: QuantityName;
    readonly difference: Measured;
    readonly relative: Measured;
    readonly inU: number;
  }[];
  /** predicted - measured at the times of MotionCurves that both cover. */
  readonly residuals: {
    readonly timeS: readonly number[];
    readonly position: readonly number[];
    readonly speed: readonly number[];
    readonly acceleration: readonly number[];
  };
  /** s, clip time of the model's valve opening (t = 0 of the model) after alignment, and how it was aligned. */
  readonly alignment: { readonly offsetS: number; readonly how: string };
  /** A plain sentence: "The model is 6.1 ± 0.9 % fast." */
  readonly verdict: string;
}

/** Release as another way of seeing it gives it: s of the clip's clock. */
export interface ReleaseCheck {
  readonly by: "change-point" | "separation";
  readonly clipS: Measured;
}

/** A capture rate that a dropped object or a blinking lamp in a clip implies. */
export interface ClockCheckResult {
  readonly kind: "drop" | "lamp";
  readonly shotId: string;
  readonly captureRateHz: Measured;
}

export interface Measurement {
  readonly quantities: Readonly<Partial<Record<QuantityName, Quantity>>>;
  /** For each headline result. The u of a quantity is the root sum of squares of its lines. */
  readonly budget: Readonly<Partial<Record<QuantityName, readonly BudgetLine[]>>>;
  readonly curves: MotionCurves;
  readonly poses: readonly PoseDot[];
  readonly residuals: readonly MarkResidual[];
  /** s, clip time of release and of first motion. */
  readonly releaseClipS: number;
  readonly startClipS: number;
  /** rms of residuals over the stated u of the marks: near 1 when the stated u is true. */
  readonly noiseRatio: number;
  readonly converged: boolean;
  /** m/px where the scale was taken. */
  readonly scale: Measured;
  /** Hz, the capture rate in use; null when the frames' own timestamps are. */
  readonly captureRateHz: Measured | null;
  /** Capture rates that drops and lamps in clips of the same camera imply. */
  readonly clockChecks: readonly ClockCheckResult[];
  /** Release by the ways not in use: the rod's tip falling behind where it is marked, the motion where the person said. */
  readonly releaseChecks: readonly ReleaseCheck[];
  /** px, blur of the airframe at release; null when the exposure is not given. */
  readonly blurPx: number | null;
}

/** What Loftmark says of one shot. Each part is null when its inputs are missing; `notices` say what is missing. */
export interface ShotResult {
  readonly shotId: string;
  readonly measurement: Measurement | null;
  readonly prediction: Prediction | null;
  readonly comparison: Comparison | null;
  readonly notices: readonly Notice[];
}
