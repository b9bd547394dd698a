import { REFERENCE_DENSITY, REFERENCE_TEMPERATURE } from "../air.ts";
import type { ValveInputs } from "./ram-inputs.ts";

/** Absolute pressure (Pa) and temperature (K) on one side of a valve. */
export interface GasState {
  readonly pressurePa: number;
  readonly temperatureK: number;
}

/**
 * Mass flow through a valve, kg/s, positive from `from` to `to`; the side of higher pressure is upstream.
 * q = C ρ0 p1 √(T0/T1) ω, with ω as in `flowRatio`. Source: ISO 6358:1989, 5; the ellipse is due to Sanville.
 * @throws RangeError when C < 0, b is not in [0, 1), or a pressure or temperature is not positive and finite
 */
export function valveFlow(valve: ValveInputs, from: GasState, to: GasState): number {
  const { conductance, criticalRatio } = valve;
  if (!(conductance >= 0 && conductance < Infinity)) {
    throw new RangeError(`valveFlow: conductance must be >= 0; got ${conductance}`);
  }
  if (!(criticalRatio >= 0 && criticalRatio < 1)) {
    throw new RangeError(`valveFlow: criticalRatio must be in [0, 1); got ${criticalRatio}`);
  }
  for (const { pressurePa, temperatureK } of [from, to]) {
    if (!(pressurePa > 0 && temperatureK > 0 && pressurePa < Infinity && temperatureK < Infinity)) {
      throw new RangeError(`valveFlow: need p > 0 and T > 0; got ${pressurePa} Pa, ${temperatureK} K`);
    }
  }
  return signedFlow(
    conductance,
    criticalRatio,
    from.pressurePa,
    from.temperatureK,
    from.pressurePa - to.pressurePa,
    to.temperatureK,
  );
}

/**
 * `valveFlow` without checks or objects, for the inside of an integration. It takes the pressure difference
 * from − to rather than the far pressure: near equal pressures the flow goes with the root of the difference,
 * which the subtraction of two pressures would lose.
 */
export function signedFlow(
  conductance: number,
  criticalRatio: number,
  fromPa: number,
  fromK: number,
  dropPa: number,
  toK: number,
): number {
  const forward = dropPa >= 0;
  const upstreamPa = forward ? fromPa : fromPa - dropPa;
  const upstreamK = forward ? fromK : toK;
  const ratio = flowRatio(Math.abs(dropPa) / upstreamPa, criticalRatio);
  const flow =
    conductance * REFERENCE_DENSITY * upstreamPa * Math.sqrt(REFERENCE_TEMPERATURE / upstreamK) * ratio;
  return forward ? flow : -flow;
}

/**
 * Below this, z = (1 − r)/(1 − b) is rounded off: the root's infinite slope at equal pressures is no property
 * of a valve (its flow turns laminar there) and stops any integration. At 5 bar it is 5 mPa.
 */
export const LAMINAR = 1e-8;
const NEAR_EQUAL = 1e-4; // above, the rounding would change the flow by less than 3e-9 and is left out

/**
 * Flow over choked flow, 1: ω = 1 for r <= b, else √(1 − ((r − b)/(1 − b))²), with r = p2/p1.
 * Written with z = (1 − r)/(1 − b): ω = √(z(2 − z)), so that nothing cancels as r tends to 1. Within 1e-8 of
 * r = 1 it becomes linear: z/(z² + 1e-16)^¼ in place of √z.
 * @param relativeDrop 1 − r, >= 0
 */
export function flowRatio(relativeDrop: number, criticalRatio: number): number {
  const z = relativeDrop / (1 - criticalRatio);
  if (z >= 1) return 1;
  if (z > NEAR_EQUAL) return Math.sqrt(z * (2 - z));
  return z * Math.sqrt((2 - z) / Math.sqrt(z * z + LAMINAR * LAMINAR));
}
