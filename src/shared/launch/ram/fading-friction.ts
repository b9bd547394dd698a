import type { RamInputs } from "./ram-inputs.ts";

/** What friction has above sliding at a speed, N, and its change with speed, N·s/m. */
export interface FadingFriction {
  force(speedMPerS: number): number;
  slope(speedMPerS: number): number;
}

const NONE: FadingFriction = { force: () => 0, slope: () => 0 };

/**
 * Friction that falls from break-away to sliding as the piston gathers speed: (F_s − F_c) exp(−(ẋ/v_s)²),
 * with v_s the Stribeck speed. With none it falls at once. Source: B. Armstrong-Hélouvry, P. Dupont & C.
 * Canudas de Wit, Automatica 30 (1994) 1083, the exponent 2 being the Gaussian form there.
 */
export function fadingFriction({ breakawayN, slidingN, stribeckMPerS = 0 }: RamInputs): FadingFriction {
  const above = breakawayN - slidingN;
  if (!(stribeckMPerS > 0 && above > 0)) return NONE;
  const force = (speed: number) => above * Math.exp(-((speed / stribeckMPerS) ** 2));
  return { force, slope: (speed) => ((-2 * speed) / stribeckMPerS ** 2) * force(speed) };
}
