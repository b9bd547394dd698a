import { STANDARD_GRAVITY } from "../quantity/gravity.ts";

/** A wing in flight, struck from below by a gust. */
export interface GustInputs {
  readonly massKg: number;
  readonly wingAreaM2: number;
  /** 1/rad, lift coefficient gained per angle of attack. */
  readonly liftSlopePerRad: number;
  readonly airDensity: number;
  readonly airspeedMPerS: number;
  /** m/s, vertical. */
  readonly gustMPerS: number;
}

/**
 * Load factor added by a gust with a sharp edge: Δn = ρ V a U S/(2 m g), 1. First order in U/V: the wing
 * meets the gust before it rises or pitches, and lift follows at once. Never more than the wing can
 * lift: cap it by the stall.
 * Source: the gust formula of airworthiness rules before alleviation, e.g. 14 CFR 23.341 (in force to 2017).
 * @throws RangeError when an input is not finite and positive (the gust may be 0)
 */
export function sharpGustLoad(inputs: GustInputs): number {
  const { massKg, wingAreaM2, liftSlopePerRad, airDensity, airspeedMPerS, gustMPerS } = inputs;
  for (const [name, x] of Object.entries(inputs)) {
    if (!((x > 0 || (name === "gustMPerS" && x === 0)) && x < Infinity)) {
      throw new RangeError(`sharpGustLoad: ${name} must be > 0; got ${x}`);
    }
  }
  return (
    (airDensity * airspeedMPerS * liftSlopePerRad * gustMPerS * wingAreaM2) / (2 * massKg * STANDARD_GRAVITY)
  );
}

/**
 * Share of the sharp gust's load that a wing free to rise feels: K = 0.88 μ/(5.3 + μ) with the mass ratio
 * μ = 2 m/(ρ c̄ a S), 1. A fit made for aeroplanes with people in them, whose μ is larger; for a light
 * airframe it is an estimate.
 * Source: the form of 14 CFR 23.341 (in force to 2017).
 * @param meanChordM m, wing area over span
 * @throws RangeError when an input is not finite and positive
 */
export function gustAlleviation(
  inputs: Omit<GustInputs, "airspeedMPerS" | "gustMPerS"> & { readonly meanChordM: number },
): { readonly massRatio: number; readonly factor: number } {
  const { massKg, wingAreaM2, liftSlopePerRad, airDensity, meanChordM } = inputs;
  for (const [name, x] of Object.entries({
    massKg,
    wingAreaM2,
    liftSlopePerRad,
    airDensity,
    meanChordM,
  })) {
    if (!(x > 0 && x < Infinity)) throw new RangeError(`gustAlleviation: ${name} must be > 0; got ${x}`);
  }
  const massRatio = (2 * massKg) / (airDensity * meanChordM * liftSlopePerRad * wingAreaM2);
  return { massRatio, factor: (0.88 * massRatio) / (5.3 + massRatio) };
}
