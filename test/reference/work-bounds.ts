import { AIR_GAMMA } from "../../src/shared/launch/air.ts";

/** What the work bounds need; pressures absolute, Pa. */
export interface BoundInputs {
  readonly tankPa: number;
  readonly airPa: number;
  readonly tankVolumeM3: number;
  /** m³, bore area times stroke. */
  readonly sweptVolumeM3: number;
}

/** J, work on piston less work against the air outside, for three idealised expansions of the tank. */
export interface WorkBounds {
  readonly constantPressureJ: number;
  readonly isothermalJ: number;
  readonly adiabaticJ: number;
}

/**
 * Closed-form upper bounds on the work a ram can do: no valve loss, no dead volume, no friction.
 * Constant pressure (p0 − pa)Vs; isothermal p0 Vt ln((Vt+Vs)/Vt) − pa Vs;
 * adiabatic p0 Vt/(γ−1) [1 − (Vt/(Vt+Vs))^(γ−1)] − pa Vs.
 * Source: C. E. Mungan, Eur. J. Phys. 30 (2009) 453; Z. J. Rohrbach et al., Am. J. Phys.
 * 80 (2012) 24, eqs 2 and 3.
 * @throws RangeError when a value is not positive and finite
 */
export function workBounds({ tankPa, airPa, tankVolumeM3, sweptVolumeM3 }: BoundInputs): WorkBounds {
  for (const [name, x] of Object.entries({ tankPa, airPa, tankVolumeM3, sweptVolumeM3 })) {
    if (!(x > 0 && x < Infinity)) throw new RangeError(`workBounds: ${name} must be > 0; got ${x}`);
  }
  const outside = airPa * sweptVolumeM3;
  const growth = sweptVolumeM3 / tankVolumeM3;
  const energy = (tankPa * tankVolumeM3) / (AIR_GAMMA - 1);
  return {
    constantPressureJ: tankPa * sweptVolumeM3 - outside,
    isothermalJ: tankPa * tankVolumeM3 * Math.log1p(growth) - outside,
    adiabaticJ: -energy * Math.expm1((1 - AIR_GAMMA) * Math.log1p(growth)) - outside,
  };
}

/**
 * Speed from rest for a given work with nothing lost, √(2W/m), m/s.
 * @throws RangeError when workJ < 0 or massKg <= 0
 */
export function speedFromWork(workJ: number, massKg: number): number {
  if (!(workJ >= 0 && massKg > 0)) throw new RangeError(`speedFromWork: got ${workJ} J, ${massKg} kg`);
  return Math.sqrt((2 * workJ) / massKg);
}
