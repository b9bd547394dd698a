import { ifIntegrable } from "../../numeric/if-integrable.ts";
import { AIR_GAS_CONSTANT } from "../air.ts";
import { predictRam } from "./predict-ram.ts";
import type { RamInputs, RamPrediction } from "./ram-inputs.ts";

/** More shots than this from one fill are counted as this many. */
export const MOST_SHOTS = 30;

/**
 * Pa above the air outside, in the tank after a shot once its air is back at the temperature outside;
 * the valves shut when the ram is at its end.
 */
export function gaugeAfterShot(inputs: RamInputs, { ramEnd }: Pick<RamPrediction, "ramEnd">): number {
  const { tankVolumeM3, gaugePressurePa, airPressurePa, temperatureK, tankTemperatureK } = inputs;
  // What cools down to the temperature outside loses pressure by itself.
  const settledPa = ((gaugePressurePa + airPressurePa) * temperatureK) / (tankTemperatureK ?? temperatureK);
  const lostKg = ramEnd.airPassedKg - ramEnd.airFedKg;
  return settledPa - airPressurePa - (lostKg * AIR_GAS_CONSTANT * temperatureK) / tankVolumeM3;
}

/**
 * Shots in a row from one fill that release at `leastMPerS` or faster, 1. Between shots the valves are shut
 * and the air left comes back to the temperature outside: p = m R T/V. Counted with a part: n whole shots
 * hold, and the part is how far the least speed lies between the n-th's and that of the next, so that the
 * count moves smoothly with every input. 0 when the first is too slow already; a shot the ram does not
 * complete counts as speed 0. At most `MOST_SHOTS`.
 * @param first the first shot as predicted from `inputs`
 */
export function shotsPerFill(
  inputs: RamInputs,
  first: RamPrediction,
  leastMPerS: number,
  relTol: number,
): number {
  let [now, shot] = [inputs, first];
  if (shot.exitSpeedMPerS < leastMPerS) return 0;
  for (let count = 1; count < MOST_SHOTS; count++) {
    now = { ...now, gaugePressurePa: gaugeAfterShot(now, shot), tankTemperatureK: undefined };
    const next = completed(now, relTol);
    const speed = next?.exitSpeedMPerS ?? 0;
    if (next === null || speed < leastMPerS) {
      return count + (shot.exitSpeedMPerS - leastMPerS) / (shot.exitSpeedMPerS - speed);
    }
    shot = next;
  }
  return MOST_SHOTS;
}

function completed(inputs: RamInputs, relTol: number): RamPrediction | null {
  const result = ifIntegrable(() => predictRam(inputs, { relTol }));
  return result?.ok ? result.value : null;
}
