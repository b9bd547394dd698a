import type { Measured } from "../../quantity/measured.ts";
import { aboveZero, propagate } from "../../uncertainty/propagate.ts";
import { AIR_GAMMA } from "../air.ts";

/**
 * Energy of compressed air in a vessel, J, by isentropic expansion to the air outside:
 * E = p V/(γ−1) [1 − (p_a/p)^((γ−1)/γ)]. Source: ASME PCC-2, Article 5.1, Appendix II (501-II in
 * later editions), eq. II-1.
 * @param pressurePa absolute pressure in the vessel, >= airPa > 0
 * @throws RangeError when a value is outside those limits
 */
export function storedEnergy(pressurePa: number, volumeM3: number, airPa: number): number {
  if (!(airPa > 0 && pressurePa >= airPa && pressurePa < Infinity && volumeM3 > 0 && volumeM3 < Infinity)) {
    throw new RangeError(
      `storedEnergy: need p >= p_air > 0 and V > 0; got ${pressurePa} Pa, ${airPa} Pa, ${volumeM3} m³`,
    );
  }
  const exponent = (AIR_GAMMA - 1) / AIR_GAMMA;
  return (-pressurePa * volumeM3 * Math.expm1(exponent * Math.log(airPa / pressurePa))) / (AIR_GAMMA - 1);
}

/**
 * `storedEnergy` for a gauge pressure, with its standard uncertainty; 0 for a tank at
 * or below the air outside.
 */
export function measuredStoredEnergy(gaugePa: Measured, volumeM3: Measured, airPa: Measured): Measured {
  const result = propagate(
    ([gauge, volume, air]) => [storedEnergy(Math.max(0, gauge) + air, volume, air)],
    [
      { name: "gauge pressure", ...gaugePa },
      aboveZero("tank volume", volumeM3),
      aboveZero("air pressure", airPa),
    ],
  );
  if (!result.ok) throw new Error(`measuredStoredEnergy: ${result.code}`); // the formula refuses nothing
  return { value: result.value.values[0], u: result.value.u[0] };
}
