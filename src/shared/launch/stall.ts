import { STANDARD_GRAVITY } from "../quantity/gravity.ts";
import type { Measured } from "../quantity/measured.ts";

export interface StallInputs {
  readonly massKg: number;
  readonly wingAreaM2: number;
  /** 1, greatest lift coefficient before the stall. */
  readonly liftCoefficientMax: number;
  readonly airDensity: number;
  /** 1, lift over weight asked for; 1 in level flight. */
  readonly loadFactor?: number;
}

/**
 * Least airspeed at which the wing carries n times the weight, V_s = √(2 n m g/(ρ S C_Lmax)), m/s.
 * Source: definition of the lift coefficient; e.g. J. D. Anderson, Introduction to Flight, 6.6.
 * @throws RangeError when an input is not positive and finite
 */
export function stallSpeed(inputs: StallInputs): number {
  const { massKg, wingAreaM2, liftCoefficientMax, airDensity, loadFactor = 1 } = inputs;
  for (const [name, x] of Object.entries({
    massKg,
    wingAreaM2,
    liftCoefficientMax,
    airDensity,
    loadFactor,
  })) {
    if (!(x > 0 && x < Infinity)) throw new RangeError(`stallSpeed: ${name} must be > 0; got ${x}`);
  }
  return Math.sqrt(
    (2 * loadFactor * massKg * STANDARD_GRAVITY) / (airDensity * wingAreaM2 * liftCoefficientMax),
  );
}

/**
 * `stallSpeed` with its standard uncertainty for independent inputs: u/V_s = ½ √(Σ
 * (u_i/x_i)²), all exponents being ±½.
 */
export function measuredStallSpeed(inputs: Readonly<Record<keyof StallInputs, Measured>>): Measured {
  const value = stallSpeed({
    massKg: inputs.massKg.value,
    wingAreaM2: inputs.wingAreaM2.value,
    liftCoefficientMax: inputs.liftCoefficientMax.value,
    airDensity: inputs.airDensity.value,
    loadFactor: inputs.loadFactor.value,
  });
  const relative = Math.hypot(...Object.values(inputs).map((one) => one.u / one.value));
  return { value, u: (value * relative) / 2 };
}

/**
 * Speed relative to the air, m/s, of an airframe moving at `speed` along a path `angleRad` above the
 * horizontal, into a horizontal headwind (negative for a tailwind): the length of (v cos θ + w, v sin θ).
 */
export function airspeed(speed: number, angleRad: number, headwind: number): number {
  return Math.hypot(speed * Math.cos(angleRad) + headwind, speed * Math.sin(angleRad));
}

/**
 * Speed along a path that gives an airspeed, m/s: the v >= 0 with |(v cos θ + w, v sin θ)| = A, v = √(A² − w²
 * sin² θ) − w cos θ; 0 where the headwind alone gives as much. Inverse of `airspeed` by its first argument.
 */
export function speedAtAirspeed(wanted: number, angleRad: number, headwind: number): number {
  const under = wanted ** 2 - (headwind * Math.sin(angleRad)) ** 2;
  return under < 0 ? 0 : Math.max(0, Math.sqrt(under) - headwind * Math.cos(angleRad));
}
