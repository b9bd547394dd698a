import { LONGEST_FLIGHT_S, type PathToGround, pathToGround, type UnflownBody } from "../path-to-ground.ts";
import type { RocketInputs, RocketState } from "./rocket-inputs.ts";
import { thrustStretches } from "./rocket-thrust.ts";

/** What the flight takes beside the boost's own inputs; the wind along the launch is among those. */
export type RocketAir = Pick<UnflownBody, "heightM" | "crosswindMPerS" | "greatestLiftAreaM2" | "nose">;

/**
 * The flight of an airframe that nobody flies from leaving its cradle to the ground, through what is left of
 * the boost: `pathToGround` with the thrust along the nose, the mass that burns away, and the booster gone
 * after its separation.
 * @param leaving the instant it is free of the cradle, as `predictRocket` gives it
 * @returns null when it is still up after two minutes  @throws as pathToGround
 */
export function flyRocket(
  inputs: RocketInputs,
  leaving: Pick<RocketState, "timeS" | "speedMPerS">,
  air: RocketAir,
): PathToGround | null {
  const { angleRad, dragAreaM2, airDensity, headwindMPerS } = inputs;
  const legs = thrustStretches(inputs, leaving.timeS + LONGEST_FLIGHT_S + 1);
  const body = { angleRad, dragAreaM2, airDensity, headwindMPerS, speedMPerS: leaving.speedMPerS, ...air };
  return pathToGround(body, legs, leaving.timeS);
}
