import { DEGREE } from "../quantity/angle.ts";
import type { Measured } from "../quantity/measured.ts";

/** The shot a person expects. Angles above the horizontal, nose up positive. */
export interface ExpectedShot {
  readonly speedMPerS: number;
  /** m, travel from rest to release. */
  readonly strokeM: number;
  /** How hard or how long the push is: with speed and stroke, one gives the other. */
  readonly push:
    | { readonly by: "peak"; readonly peakMPerS2: number }
    | { readonly by: "time"; readonly pushS: number };
  readonly angleRad: number;
  readonly pitchRateRadPerS: number;
}

/**
 * A planned camera set-up, and the shot it is to film. SI and radians; u is a
 * standard uncertainty, k = 1.
 */
export interface CameraPlanInput {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly captureRateHz: Measured;
  readonly exposureS: number;
  /** m, camera to the flight plane. */
  readonly distanceM: number;
  /**
   * How wide the picture is in the flight plane: in metres, or as the lens's horizontal angle
   * of view at that distance.
   */
  readonly lens:
    | { readonly by: "field"; readonly fieldM: number }
    | { readonly by: "angle"; readonly fieldRad: number };
  /** m, u of how much nearer or farther than the rod the airframe flies. */
  readonly planeU: number;
  /** px, u of each coordinate of a mark on a sharp target. */
  readonly markPx: number;
  /** 1, further u of a mark as a share of the smear's length in that frame; 0 leaves it out. */
  readonly smearShare: number;
  /** Points marked on the airframe, in a line, evenly apart. */
  readonly points: number;
  /** m, from the first point to the last. The airframe balances halfway. */
  readonly spacingM: number;
  /** m, u of the balance point along and above the line of points. */
  readonly balanceU: number;
  readonly rodM: Measured;
  /** px, u of each coordinate of the picked ends of rod and plumb. */
  readonly pickPx: number;
  readonly plumbM: number;
  /** rad, u of the plumb's own verticality. */
  readonly hangRad: number;
  /** Frames marked before first motion, and after release. */
  readonly restFrames: number;
  readonly flightFrames: number;
  readonly shot: ExpectedShot;
}

/** A common slow-motion camera on a tripod and a middling shot of a compressed-air ram. */
export const CAMERA_PLAN_DEFAULTS: CameraPlanInput = {
  widthPx: 1920,
  heightPx: 1080,
  captureRateHz: { value: 240, u: 0.5 },
  exposureS: 1 / 2000,
  distanceM: 5,
  lens: { by: "field", fieldM: 2.5 },
  planeU: 0.01,
  markPx: 0.5,
  smearShare: 0.1, // a length is read by eye to a tenth of it
  points: 2,
  spacingM: 0.35,
  balanceU: 0.002,
  rodM: { value: 1, u: 0.001 },
  pickPx: 0.5,
  plumbM: 0.8,
  hangRad: 0.03 * DEGREE,
  restFrames: 10,
  flightFrames: 20,
  shot: {
    speedMPerS: 13,
    strokeM: 0.8,
    push: { by: "peak", peakMPerS2: 200 },
    angleRad: 20 * DEGREE,
    pitchRateRadPerS: 20 * DEGREE,
  },
};

/** Paths of the numbers of a plan, for naming the one that is wrong. */
export type PlanField =
  | Exclude<keyof CameraPlanInput, "captureRateHz" | "rodM" | "lens" | "shot">
  | "captureRateHz"
  | "captureRateHz.u"
  | "rodM"
  | "rodM.u"
  | "fieldM"
  | "fieldRad"
  | Exclude<keyof ExpectedShot, "push">
  | "peakMPerS2"
  | "pushS";

export interface PlanFieldFault {
  readonly field: PlanField;
  readonly value: number;
  /** What the number must be, to follow "must be": "greater than 0". */
  readonly needed: string;
}

const MOST_FRAMES = 1000; // marked by hand; more would only keep the machine busy
const MOST_POINTS = 12;

type Check = readonly [field: PlanField, value: number, good: (x: number) => boolean, needed: string];

/**
 * What of the numbers cannot be meant; empty when all can. That a set-up is unusable is
 * for the plan itself to say.
 */
export function planInputFaults(input: CameraPlanInput): readonly PlanFieldFault[] {
  const { lens, shot, captureRateHz, rodM } = input;
  const positive = (field: PlanField, value: number): Check => [field, value, (x) => x > 0, "greater than 0"];
  const notNegative = (field: PlanField, value: number): Check => [field, value, (x) => x >= 0, "0 or more"];
  const whole = (field: PlanField, value: number, from: number, to: number): Check => [
    field,
    value,
    (x) => Number.isInteger(x) && x >= from && x <= to,
    `a whole number from ${from} to ${to}`,
  ];
  const checks: readonly Check[] = [
    whole("widthPx", input.widthPx, 16, 65536),
    whole("heightPx", input.heightPx, 16, 65536),
    positive("captureRateHz", captureRateHz.value),
    notNegative("captureRateHz.u", captureRateHz.u),
    [
      "exposureS",
      input.exposureS,
      (x) => x > 0 && !(x > (1 + 1e-9) / captureRateHz.value),
      "greater than 0 and no longer than a frame",
    ],
    positive("distanceM", input.distanceM),
    lens.by === "field"
      ? positive("fieldM", lens.fieldM)
      : ["fieldRad", lens.fieldRad, (x) => x > 0 && x < 170 * DEGREE, "between 0 and 170 degrees"],
    notNegative("planeU", input.planeU),
    positive("markPx", input.markPx),
    notNegative("smearShare", input.smearShare),
    whole("points", input.points, 2, MOST_POINTS),
    positive("spacingM", input.spacingM),
    notNegative("balanceU", input.balanceU),
    positive("rodM", rodM.value),
    notNegative("rodM.u", rodM.u),
    positive("pickPx", input.pickPx),
    positive("plumbM", input.plumbM),
    notNegative("hangRad", input.hangRad),
    whole("restFrames", input.restFrames, 0, MOST_FRAMES),
    whole("flightFrames", input.flightFrames, 0, MOST_FRAMES),
    positive("speedMPerS", shot.speedMPerS),
    positive("strokeM", shot.strokeM),
    shot.push.by === "peak"
      ? positive("peakMPerS2", shot.push.peakMPerS2)
      : positive("pushS", shot.push.pushS),
    ["angleRad", shot.angleRad, (x) => Math.abs(x) <= Math.PI / 2, "from -90 to 90 degrees"],
    ["pitchRateRadPerS", shot.pitchRateRadPerS, () => true, "a number"],
  ];
  return checks.flatMap(([field, value, good, needed]) =>
    Number.isFinite(value) && good(value) ? [] : [{ field, value, needed }],
  );
}
