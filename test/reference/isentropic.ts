import { AIR_GAMMA, AIR_GAS_CONSTANT } from "../../src/shared/launch/air.ts";

/** Static over stagnation values and area over sonic area at one Mach number. */
export interface IsentropicRatios {
  readonly temperature: number;
  readonly pressure: number;
  readonly density: number;
  readonly area: number;
}

/**
 * Isentropic flow of a perfect gas: T/T0 = (1 + (γ−1)/2 M²)^−1, p/p0 = (T/T0)^(γ/(γ−1)),
 * ρ/ρ0 = (T/T0)^(1/(γ−1)), A/A* = (1/M)[(2/(γ+1))(T0/T)]^((γ+1)/(2(γ−1))). Source: NACA Report 1135
 * (1953), eqs 43 to 45 and 80.
 * @param mach > 0
 * @throws RangeError when mach is not positive and finite or gamma <= 1
 */
export function isentropicRatios(mach: number, gamma = AIR_GAMMA): IsentropicRatios {
  if (!(mach > 0 && mach < Infinity)) throw new RangeError(`isentropicRatios: mach must be > 0; got ${mach}`);
  if (!(gamma > 1)) throw new RangeError(`isentropicRatios: gamma must be > 1; got ${gamma}`);
  const temperature = 1 / (1 + ((gamma - 1) / 2) * mach * mach);
  return {
    temperature,
    pressure: temperature ** (gamma / (gamma - 1)),
    density: temperature ** (1 / (gamma - 1)),
    area: (2 / (gamma + 1) / temperature) ** ((gamma + 1) / (2 * (gamma - 1))) / mach,
  };
}

/** Critical pressure ratio, p at Mach 1 over p0, of an ideal nozzle, (2/(γ+1))^(γ/(γ−1)): 0.528 for air. */
export function idealCriticalRatio(gamma = AIR_GAMMA): number {
  return (2 / (gamma + 1)) ** (gamma / (gamma - 1));
}

/** Choked flow function ṁ√(R T0)/(A p0) = √γ (2/(γ+1))^((γ+1)/(2(γ−1))), 1: 0.6847 for air. */
export function chokedFlowFunction(gamma = AIR_GAMMA): number {
  return Math.sqrt(gamma) * (2 / (gamma + 1)) ** ((gamma + 1) / (2 * (gamma - 1)));
}

/**
 * Mass flow of an ideal nozzle, kg/s, after Saint-Venant and Wantzel (1839):
 * ṁ = A p0/√(R T0) √(2γ/(γ−1) (r^(2/γ) − r^((γ+1)/γ))), with r = p/p0 held at the critical ratio once choked.
 * @param areaM2 throat area  @param stagnationPa, backPa absolute, 0 <= backPa <= stagnationPa
 * @throws RangeError when a value is outside those limits
 */
export function nozzleFlow(
  areaM2: number,
  stagnationPa: number,
  stagnationK: number,
  backPa: number,
  gamma = AIR_GAMMA,
): number {
  if (!(areaM2 >= 0 && stagnationPa > 0 && stagnationK > 0 && backPa >= 0 && backPa <= stagnationPa)) {
    throw new RangeError(
      `nozzleFlow: need area >= 0, T0 > 0, 0 <= p <= p0; got ${areaM2} m², ${stagnationK} K, ${backPa} of ${stagnationPa} Pa`,
    );
  }
  const r = Math.max(backPa / stagnationPa, idealCriticalRatio(gamma));
  const shape = ((2 * gamma) / (gamma - 1)) * (r ** (2 / gamma) - r ** ((gamma + 1) / gamma));
  return (
    ((areaM2 * stagnationPa) / Math.sqrt(AIR_GAS_CONSTANT * stagnationK)) * Math.sqrt(Math.max(0, shape))
  );
}
