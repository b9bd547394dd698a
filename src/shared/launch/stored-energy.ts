import type { Measured } from "../quantity/measured.ts";
import { AIR_GAMMA } from "./air.ts";
import { propagate } from "./propagate.ts";

/**
 * Energy of compressed air in a vessel, J, by isentropic expansion to the air outside:
 * E = p V/(γ−1) [1 − (p_a/p)^((γ−1)/γ)]. Source: ASME PCC-2, Article 5.1, Appendix II (501-II in later editions), eq. II-1.
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
 * Energy p V/(γ−1) less that of the same volume at air pressure, (p − p_a)V/(γ−1), J: the largest of the usual
 * forms. Source: H. L. Brode (1959), as used for bursting vessels.
 * @throws RangeError as `storedEnergy`
 */
export function brodeEnergy(pressurePa: number, volumeM3: number, airPa: number): number {
  storedEnergy(pressurePa, volumeM3, airPa);
  return ((pressurePa - airPa) * volumeM3) / (AIR_GAMMA - 1);
}

/**
 * Work that expansion at the temperature outside could do, p V [ln(p/p_a) − 1 + p_a/p], J. Above about 5.7 bar gauge it passes
 * `storedEnergy`: no one form is an upper bound of the others but Brode's.
 * @throws RangeError as `storedEnergy`
 */
export function isothermalExergy(pressurePa: number, volumeM3: number, airPa: number): number {
  storedEnergy(pressurePa, volumeM3, airPa);
  const ratio = airPa / pressurePa;
  return pressurePa * volumeM3 * (-Math.log(ratio) - 1 + ratio);
}

const TNT_J_PER_KG = 4_266_920;

/** kg of TNT with the same energy. Source: ASME PCC-2 (2008), Article 5.1, Appendix II. */
export function tntEquivalent(energyJ: number): number {
  return energyJ / TNT_J_PER_KG;
}

/** `storedEnergy` for a gauge pressure, with its standard uncertainty; 0 for a tank at or below the air outside. */
export function measuredStoredEnergy(gaugePa: Measured, volumeM3: Measured, airPa: Measured): Measured {
  const result = propagate(
    ([gauge, volume, air]) => [storedEnergy(Math.max(0, gauge!) + air!, volume!, air!)],
    [
      { name: "gauge pressure", ...gaugePa },
      { name: "tank volume", ...volumeM3, low: volumeM3.value / 100 },
      { name: "air pressure", ...airPa, low: airPa.value / 100 },
    ],
  );
  if (!result.ok) throw new Error(`measuredStoredEnergy: ${result.code}`); // the formula refuses nothing
  return { value: result.value.values[0]!, u: result.value.u[0]! };
}
