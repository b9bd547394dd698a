import { chiSquareTail } from "../numeric/chi-square.ts";

/** How well several measurements of one thing agree within their stated uncertainties. */
export interface Agreement {
  readonly chiSquare: number;
  readonly degreesOfFreedom: number;
  /**
   * Chance of a chi-square this large or larger when the stated uncertainties are true; 1
   * with no degree of freedom.
   */
  readonly chance: number;
  /**
   * sqrt(chi-square / degrees of freedom), the Birge ratio: by how much the scatter exceeds what was stated.
   * 1 with no degree of freedom.
   */
  readonly birge: number;
  /** False when the chance is below 5 %: worth a warning. */
  readonly agree: boolean;
}

const DOUBTFUL = 0.05; // the usual level of a test; one honest case in twenty is warned about
/**
 * Two-sided chance of five standard deviations: scatter this rare is a wrong entry, not a modest uncertainty.
 */
export const WRONG_ENTRY = 5.7e-7;

/**
 * Consistency test of a weighted mean or fit. Source: Birge, Phys. Rev. 40:207 (1932); the multiplication of
 * u by the ratio when it exceeds 1 is the practice of the CODATA and Particle Data Group adjustments.
 */
export function agreement(chiSquare: number, degreesOfFreedom: number): Agreement {
  const chance = chiSquareTail(chiSquare, degreesOfFreedom);
  const birge = degreesOfFreedom > 0 ? Math.sqrt(chiSquare / degreesOfFreedom) : 1;
  return { chiSquare, degreesOfFreedom, chance, birge, agree: chance >= DOUBTFUL };
}

/** One of several values that were combined. */
export interface SingleValue {
  /** Its distance from the combined value, in the unit of u; `deviation` in that distance's own u. */
  readonly away: number;
  readonly deviation: number;
  readonly u: number;
}

const FAR_IN_U = 1.95; // two values that do not agree both lie at least as far off

/**
 * Standard uncertainty of a combined value: as stated times the Birge ratio where that exceeds 1. The ratio
 * alone trusts the value with the smallest stated u, which may be the wrong one. So where the values do not
 * agree, k = 2 is to reach every one that is far off, and two of its own standard uncertainties beyond it:
 * u is at least |away|/2 + u of each of these.
 */
export function widenedU(
  statedU: number,
  { agree, birge }: Agreement,
  values: readonly SingleValue[],
): number {
  const far = agree ? [] : values.filter(({ deviation }) => Math.abs(deviation) >= FAR_IN_U);
  return Math.max(statedU * Math.max(1, birge), ...far.map(({ away, u }) => Math.abs(away) / 2 + u));
}
