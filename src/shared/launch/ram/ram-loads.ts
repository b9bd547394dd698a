import { STANDARD_GRAVITY } from "../../quantity/gravity.ts";
import type { IntoStop } from "../end-stop.ts";
import { ramAreas } from "./ram-areas.ts";
import type { RamInputs, RamPrediction } from "./ram-inputs.ts";

/**
 * Greatest push of the ram back on what carries it, N, along the push and against its direction.
 * The gas pushes the closed end of the cylinder back with (p − p_a)A and its front end forward with (p_r −
 * p_a)A_r; seal and guide drag it forward with the friction, F_c + B ẋ and what is left of break-away. By the
 * piston's equation the sum is R = m(ẍ + g sin θ) + D, m all that moves and D the drag, so that it peaks with
 * the acceleration: that of ram and airframe, or of the ram alone after an airframe that left early. At rest
 * it is the weight m g sin θ. The momentum of the air itself (grams) is left out.
 */
export function peakBaseReaction(
  { totalMassKg, looseMassKg = 0, angleRad }: Pick<RamInputs, "totalMassKg" | "looseMassKg" | "angleRad">,
  {
    peakAccelerationMPerS2,
    peakDragN,
    ramEnd,
  }: Pick<RamPrediction, "peakAccelerationMPerS2" | "peakDragN" | "ramEnd">,
): number {
  const felt = (acceleration: number) => acceleration + STANDARD_GRAVITY * Math.sin(angleRad);
  const alone = (totalMassKg - looseMassKg) * felt(ramEnd.peakAloneMPerS2 ?? 0);
  const together = totalMassKg * felt(peakAccelerationMPerS2) + peakDragN;
  return Math.max(together, ramEnd.peakAloneMPerS2 === null ? 0 : alone);
}

/**
 * What piston, rod and cradle have left at the end of the stroke: ½ m_p v², and the force still driving
 * them, F_d = (p − p_a)A − (p_r − p_a)A_r − m_p g sin θ, or 0 where it holds them back. Friction, which
 * helps the stop, is left out. Where they stop short of the end, the rod side counts as vented: they may
 * creep on to the stop as its air escapes.
 */
export function leftInRam(inputs: RamInputs, ram: RamPrediction, movingMassKg: number): IntoStop {
  const pa = inputs.airPressurePa;
  const { drive, rodSide } = ramAreas(inputs);
  const { chamberPa, rodChamberPa, positionM, speedMPerS } = ram.ramEnd;
  const stopsShort = speedMPerS === 0 && positionM < inputs.strokeM;
  const behindN = (chamberPa - pa) * drive;
  const aheadN = stopsShort ? 0 : ((rodChamberPa ?? pa) - pa) * rodSide;
  const weightN = movingMassKg * STANDARD_GRAVITY * Math.sin(inputs.angleRad);
  return {
    kineticJ: 0.5 * movingMassKg * speedMPerS ** 2,
    drivingN: Math.max(0, behindN - aheadN - weightN),
  };
}
