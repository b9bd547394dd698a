import type { PlaneMark } from "../../../src/shared/kinematics/body-shape.ts";
import { motionEstimates } from "../../../src/shared/kinematics/motion-estimates.ts";
import { fitMotion } from "../../../src/shared/kinematics/motion-fit.ts";
import type { Measured } from "../../../src/shared/quantity/measured.ts";
import type { SimulatedShot } from "./simulate.ts";

export const RESULTS = [
  "speed",
  "direction",
  "pitchRate",
  "peakAcceleration",
  "startS",
  "pushTime",
  "meanAcceleration",
  "stroke",
  "releaseS",
] as const;
export type ResultName = (typeof RESULTS)[number];

/** What is kept of a measured shot: a whole fit holds megabytes. */
export interface MeasuredShot {
  readonly shot: SimulatedShot;
  readonly setAside: readonly PlaneMark[];
  readonly results: Readonly<Record<ResultName, Measured>>;
}

/** Codes of the shots that gave no motion. */
export const refused: string[] = [];

/** The motion of a shot from its marks alone; null when it was refused. */
export function measured(shot: SimulatedShot): MeasuredShot | null {
  const fit = fitMotion({ marks: shot.marks, axis: shot.axis, release: { by: "change-point" } });
  if (!fit.ok) {
    refused.push(fit.code);
    return null;
  }
  const estimates = motionEstimates(fit.value);
  const entries = RESULTS.map((name) => [name, estimates[name]]);
  return {
    shot,
    setAside: fit.value.setAside,
    results: Object.fromEntries(entries) as Record<ResultName, Measured>,
  };
}
