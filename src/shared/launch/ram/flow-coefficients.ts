import type { Measured } from "../../quantity/measured.ts";

const PSI = 6894.757293; // Pa
const GALLON = 3.785411784e-3; // m³, US

/**
 * Kv over Cv, 1: water, m³/h at 1 bar over US gal/min at 1 psi.
 * IEC 60534-2-1 prints 0.865.
 */
export const KV_PER_CV = (GALLON * 60) / Math.sqrt(PSI * 1e-5);

/**
 * m³/(s·Pa) for each Cv. There is no single factor between a coefficient found with water and a sonic
 * conductance: 3.38 dm³/(s·bar) by equal area of an ideal nozzle, 3.89 to 4.02 by the gas equations of IEC
 * 60534-2-1 with the pressure ratio factors of common valves (0.70 to 0.75). This is the middle, and SPREAD,
 * as a standard uncertainty, reaches past all of them.
 */
export const CONDUCTANCE_PER_CV = 3.7e-8;
const SPREAD = 0.1; // 1, relative

export type FlowCoefficient = "Cv" | "Kv";

/**
 * Sonic conductance C, m³/(s·Pa), of a valve known by a coefficient found with water, with a standard
 * uncertainty that includes the spread between the ways of converting. The coefficient says nothing of the
 * critical pressure ratio b.
 */
export function conductanceFrom(coefficient: FlowCoefficient, { value, u }: Measured): Measured {
  const factor = CONDUCTANCE_PER_CV / (coefficient === "Cv" ? 1 : KV_PER_CV);
  return { value: factor * value, u: factor * Math.hypot(u, SPREAD * value) };
}

/**
 * The coefficient that `conductanceFrom` makes this conductance of; its u is 0 where the conductance is
 * known better than the spread.
 */
export function coefficientFrom(coefficient: FlowCoefficient, { value, u }: Measured): Measured {
  const factor = CONDUCTANCE_PER_CV / (coefficient === "Cv" ? 1 : KV_PER_CV);
  return { value: value / factor, u: Math.sqrt(Math.max(0, u ** 2 - (SPREAD * value) ** 2)) / factor };
}
