import type { RamInputs } from "./ram-inputs.ts";
import { signedFlow } from "./valve-flow.ts";

/**
 * Critical pressure ratio taken for the feed: fittings and regulators have 0.2 to 0.4 (common practice, no
 * source).
 */
export const FEED_CRITICAL_RATIO = 0.3;

/** Air that comes into the tank while it is being shot from. */
export interface RamFeed {
  /** Pa, absolute, of the supply. */
  readonly supplyPa: number;
  /** kg/s into a tank at this pressure, Pa; none from the tank back. */
  flow(tankPa: number): number;
  /** 1, each through 0 where the flow's law changes: where it chokes, and where it begins or ends. */
  readonly lawChanges: readonly ((tankPa: number) => number)[];
}

/**
 * A supply of constant pressure (a regulator, a large receiver) behind a sonic conductance and a check valve,
 * its air at the temperature outside: q = C ρ0 p_s √(T0/T) ω(p/p_s) while p < p_s. Null where either is left
 * out. Source: ISO 6358-1:2013, as for the valves; its b is not asked for, `FEED_CRITICAL_RATIO`.
 */
export function ramFeed(inputs: RamInputs): RamFeed | null {
  const { feedConductance = 0, supplyGaugePa = 0, airPressurePa, temperatureK } = inputs;
  if (!(feedConductance > 0 && supplyGaugePa > 0)) return null;
  const supplyPa = supplyGaugePa + airPressurePa;
  return {
    supplyPa,
    flow(tankPa) {
      const drop = supplyPa - tankPa;
      if (!(drop > 0)) return 0;
      return signedFlow(feedConductance, FEED_CRITICAL_RATIO, supplyPa, temperatureK, drop, temperatureK);
    },
    lawChanges: [
      (tankPa) => 1 - FEED_CRITICAL_RATIO - (supplyPa - tankPa) / supplyPa,
      (tankPa) => (supplyPa - tankPa) / supplyPa,
    ],
  };
}
