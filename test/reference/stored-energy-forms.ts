import { AIR_GAMMA } from "../../src/shared/launch/air.ts";
import { storedEnergy } from "../../src/shared/launch/ram/stored-energy.ts";

/**
 * Energy p V/(γ−1) less that of the same volume at air pressure, (p − p_a)V/(γ−1), J: the largest of the
 * usual forms. Source: H. L. Brode (1959), as used for bursting vessels.
 * @throws RangeError as `storedEnergy`
 */
export function brodeEnergy(pressurePa: number, volumeM3: number, airPa: number): number {
  storedEnergy(pressurePa, volumeM3, airPa);
  return ((pressurePa - airPa) * volumeM3) / (AIR_GAMMA - 1);
}

/**
 * Work that expansion at the temperature outside could do, p V [ln(p/p_a) − 1 + p_a/p], J. Above about 5.7
 * bar gauge it passes `storedEnergy`: no one form is an upper bound of the others but Brode's.
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
