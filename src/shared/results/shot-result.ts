import type { Measured, Quantity, Unit } from "../quantity/measured.ts";
import type { MarkSwap } from "../session/swap-marks.ts";
import type { ShotNotice } from "./notices/shot-notices.ts";
import type { QuantityName } from "./quantity-table.ts";

export type { QuantityName };

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
    | "camera"
    | "plumb"
    | "centre of gravity"
    | "mass"
    | "pitch inertia"
    | "release";
  readonly u: number;
  /** Most of it rests on uncertainties that nobody stated. */
  readonly assumed?: true;
}

/** A curve with its standard uncertainty on a common time axis; arrays of equal length n. */
export interface Curve {
  readonly value: readonly number[];
  readonly u: readonly number[];
}

/**
 * Everything below on one clock: seconds from release. Positions in metres from the place
 * at rest, x forward, y up.
 */
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
  /** m, standard uncertainty of positionM from the scatter of this frame's marks alone. */
  readonly positionU?: number;
  readonly pitchRad: number | null;
}

/**
 * One mark and how far the fit leaves it: residuals in px of the picture; `z` is in
 * units of the mark's own u.
 */
export interface MarkResidual {
  readonly pointId: string;
  readonly frame: number;
  readonly dxPx: number;
  readonly dyPx: number;
  readonly z: number;
}

/**
 * The model's curves on the same clock as the measurement (s from measured release,
 * aligned as `alignment` says).
 */
export interface PredictionCurves {
  readonly timeS: readonly number[];
  readonly position: readonly number[];
  readonly speed: readonly number[];
  readonly acceleration: readonly number[];
  /** rad from the horizontal, nose up, and rad/s; left out by a model that says nothing of pitch. */
  readonly pitch?: readonly number[];
  readonly pitchRate?: readonly number[];
}

/** Where an airframe that nobody steers flies, from leaving its launcher to level ground; [n] each. */
export interface UnflownPath {
  /** m, ahead of where it left. */
  readonly aheadM: readonly number[];
  /** m, above where it left; the ground lies at the last of them. */
  readonly heightM: readonly number[];
  /** The highest place. */
  readonly top: { readonly aheadM: number; readonly heightM: number };
}

/** A load along the push on what carries the launcher, against the rating of its fixings. */
export interface BaseLoad {
  /** push: back, during the stroke. pull: forward, while the end stop takes the moving parts. */
  readonly way: "push" | "pull";
  readonly loadN: Measured;
  readonly ratedLoadN: number;
  /** near: within twice its standard uncertainty it may be above. */
  readonly standing: "above" | "near" | "within";
}

export interface Prediction {
  readonly quantities: Readonly<Partial<Record<QuantityName, Quantity>>>;
  readonly curves: PredictionCurves;
  /**
   * J, energy held back before the shot: compressed gas by isentropic expansion to the air outside, or a
   * drawn elastic line; null for rocket motors.
   */
  readonly storedEnergyJ: Measured | null;
  /** Where the model follows the flight to the ground. */
  readonly path?: UnflownPath;
  /** Loads on what carries the launcher, where the rating of its fixings is stated. */
  readonly baseLoads?: readonly BaseLoad[];
}

/** A prediction, or the notices that say why there is none; dangers and cautions come with or without one. */
export interface ShotPrediction {
  readonly prediction: Prediction | null;
  readonly notices: readonly ShotNotice[];
  /**
   * Covariance of the release speed with inputs of the model, m/s times each input's unit, by its name there.
   */
  readonly speedCovariances?: Readonly<Record<string, number>>;
}

/**
 * A cause that explains the difference between model and footage, by how much it would have to be at play.
 */
export interface LikelyCause {
  readonly code: string;
  /** As a clause of a sentence: "the valve takes 4.1 ± 0.8 ms longer to open than stated". */
  readonly words: string;
  readonly size: Measured;
  readonly unit: Unit;
}

/** What the difference between model and footage over the push says of its cause. */
export interface ResidualReading {
  /** A plain sentence or two for a person. */
  readonly text: string;
  /**
   * "named": one cause stands out. "together": the footage cannot tell those named apart. "agrees": nothing
   * to explain. "unclear": a difference that no single cause explains clearly better than the others.
   * "too-few": not enough frames.
   */
  readonly outcome: "named" | "together" | "agrees" | "unclear" | "too-few";
  /** Those named, likeliest first; empty unless named or together. */
  readonly causes: readonly LikelyCause[];
  /** Frames of the push that were read. */
  readonly frames: number;
  /** Squared misfit over its expected value with no cause, and with the best one. */
  readonly misfit: { readonly none: number; readonly best: number } | null;
  /** Every cause tried: how much better than none it fits, in units of the Bayesian information criterion. */
  readonly tried: readonly {
    readonly code: string;
    readonly size: Measured;
    readonly unit: Unit;
    readonly better: number;
  }[];
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
    /** Where the model says something of pitch. */
    readonly pitch?: readonly number[];
    readonly pitchRate?: readonly number[];
    /** Standard uncertainty of each residual; left out where the model's own is not known along its curve. */
    readonly u?: { readonly [name in "position" | "speed" | "acceleration"]: ResidualU };
  };
  /**
   * s, clip time of the model's valve opening (t = 0 of the model) after alignment, and how it was aligned.
   */
  readonly alignment: { readonly offsetS: number; readonly how: string };
  /** A plain sentence: "The model is 6.1 ± 0.9 % fast." */
  readonly verdict: string;
  /** The likely cause of the difference; null where the model gives no causes to try. */
  readonly reading: ResidualReading | null;
}

/** [n] each. */
export interface ResidualU {
  /** Of predicted - measured: marks, what all frames share, and the model's inputs. */
  readonly combined: readonly number[];
  /** The part of it that moves all frames together: all but the scatter of the marks. */
  readonly systematic: readonly number[];
}

/** Release as another way of seeing it gives it: s of the clip's clock. */
export interface ReleaseCheck {
  readonly by: "change-point" | "separation";
  readonly clipS: Measured;
}

/** How far two points of the airframe are apart, by the footage and by tape, m. */
export interface SizeCheck {
  readonly pointIds: readonly [forward: string, aft: string];
  readonly seenM: Measured;
  readonly statedM: Measured;
}

/** A stretch of a clip: where it begins, frames, and its capture rate, Hz. */
export interface ClockPartResult {
  readonly from: Measured;
  readonly captureRateHz: Measured;
}

/** A capture rate that a dropped object or a blinking lamp in a clip implies. */
export interface ClockCheckResult {
  readonly kind: "drop" | "lamp";
  readonly shotId: string;
  readonly captureRateHz: Measured;
}

/**
 * Headline results with their inputs moved one at a time and with all drawn together, and
 * whether that comes to the same.
 */
export interface DrawnResults {
  readonly draws: number;
  readonly headlines: Readonly<
    Partial<
      Record<Headline, { readonly apart: Measured; readonly together: Measured; readonly agree: boolean }>
    >
  >;
}

export interface Measurement {
  readonly quantities: Readonly<Partial<Record<QuantityName, Quantity>>>;
  /** For each headline result. The u of a quantity is the root sum of squares of its lines. */
  readonly budget: Readonly<Partial<Record<QuantityName, readonly BudgetLine[]>>>;
  readonly curves: MotionCurves;
  readonly poses: readonly PoseDot[];
  readonly residuals: readonly MarkResidual[];
  /** Marks left out that would fit with their points swapped; none where it is missing. */
  readonly swapped?: readonly MarkSwap[];
  /** s, clip time of release and of first motion. */
  readonly releaseClipS: number;
  readonly startClipS: number;
  /**
   * s, standard uncertainty of first motion by the marks, the clock's rate left out; left out where the marks
   * do not show it.
   */
  readonly startClipU?: number;
  /** rms of residuals over the stated u of the marks: near 1 when the stated u is true. */
  readonly noiseRatio: number;
  readonly converged: boolean;
  /** m/px where the scale was taken. */
  readonly scale: Measured;
  /** Hz, the capture rate in use; null when the frames' own timestamps are, or the clip has parts. */
  readonly captureRateHz: Measured | null;
  /**
   * Stretches of the clip with the capture rate in use in each, the first from frame 0; left out with one
   * rate.
   */
  readonly clockParts?: readonly ClockPartResult[];
  /** Capture rates that drops and lamps in clips of the same camera imply. */
  readonly clockChecks: readonly ClockCheckResult[];
  /**
   * Release by the ways not in use: the rod's tip falling behind where it is marked, the
   * motion where the person said.
   */
  readonly releaseChecks: readonly ReleaseCheck[];
  /**
   * 1, bend of the path across the flight after release over what gravity alone gives it: above 1, scale
   * times rate squared is too large; below 1, wings carry, or it is too small. Left out where not seen.
   */
  readonly flightBend?: Measured;
  /** A taped distance on the airframe beside what the footage shows; left out where none was taped. */
  readonly sizeCheck?: SizeCheck;
  /** px, blur of the airframe at release; null when the exposure is not given. */
  readonly blurPx: number | null;
  /** What drawing all inputs gave, where it was asked for or needed. */
  readonly drawn?: DrawnResults;
}

/**
 * What Loftmark says of one shot. Each part is null when its inputs are missing;
 * `notices` say what is missing.
 */
export interface ShotResult {
  readonly shotId: string;
  readonly measurement: Measurement | null;
  readonly prediction: Prediction | null;
  readonly comparison: Comparison | null;
  readonly notices: readonly ShotNotice[];
}
