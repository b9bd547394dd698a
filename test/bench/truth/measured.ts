import type { PlaneMark } from "../../../src/shared/kinematics/body-shape.ts";
import { motionEstimates, sampleMotion } from "../../../src/shared/kinematics/motion-estimates.ts";
import { fitMotion } from "../../../src/shared/kinematics/motion-fit.ts";
import type { ReleaseInput } from "../../../src/shared/kinematics/release-evidence.ts";
import { withheldNumbers } from "../../../src/shared/kinematics/withheld.ts";
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
  readonly results: Readonly<Record<ResultName, Measured | null>>;
  readonly warned: boolean;
}

/**
 * A result that no shot of the bench is without.
 * @throws RangeError where it was withheld
 */
export function known(result: Measured | null): Measured {
  if (result === null) throw new RangeError("a result that every shot should have was withheld");
  return result;
}

/** Codes of the shots that gave no motion. */
export const refused: string[] = [];

/** The motion of a shot from its marks alone; null when it was refused. */
export function measured(
  shot: SimulatedShot,
  release: ReleaseInput = { by: "change-point" },
  powered = false,
): MeasuredShot | null {
  const fit = fitMotion({ marks: shot.marks, axis: shot.axis, release, powered });
  if (!fit.ok) {
    refused.push(fit.code);
    return null;
  }
  const estimates = motionEstimates(fit.value);
  const withheld = withheldNumbers(fit.value, sampleMotion(fit.value));
  const entries = RESULTS.map((name) => [name, withheld.has(name) ? null : estimates[name]]);
  return {
    shot,
    setAside: fit.value.setAside,
    results: Object.fromEntries(entries) as Record<ResultName, Measured | null>,
    warned:
      fit.value.setAside.length > 0 ||
      fit.value.settled.some(({ noise }) => noise.lag >= 0.5 || Math.max(...noise.common) > 0) ||
      !fit.value.atRest ||
      !fit.value.converged ||
      fit.value.best.noiseVariance > 1.5 ** 2,
  };
}
