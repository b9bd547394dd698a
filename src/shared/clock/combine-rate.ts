import { chiSquareTail } from "../numeric/chi-square.ts";
import type { Measured } from "../quantity/measured.ts";
import { ok, type Result, refuse } from "../quantity/result.ts";
import type { Doubt } from "./doubt.ts";

export interface CombinedRate {
  readonly captureRateHz: Measured;
  /** [n], sum 1, in the order given: how much each counts; `sameScale` wants the drop's. */
  readonly weights: readonly number[];
  readonly chi2: number;
  readonly dof: number;
  /** Probability of a larger disagreement by chance; 1 for a single rate. */
  readonly chance: number;
  /** √(χ²/ν); u is widened by it when the doubt "rates-strain" is raised. */
  readonly birgeRatio: number;
  /** [n], deviation of each from the mean in units of the deviation's own u: √(u_i² - u²). */
  readonly deviationsInU: readonly number[];
  readonly doubts: readonly Doubt<"rates-strain">[];
}

const STRAIN_CHANCE = 0.05;
const REFUSE_CHANCE = 0.001;

/**
 * Weighted mean of independent capture rates (what the camera says, a drop check, a lamp check): f = Σ
 * f_i/u_i² / Σ 1/u_i², u² = 1/Σ u_i^-2. Consistency by χ² = Σ (f_i - f)²/u_i² with n - 1 degrees of freedom:
 * below 5 % chance u is widened by the Birge ratio; below 0.1 % there is no common rate to give. A stated
 * rate of zero u is exact and would hide every check, so it is not taken. Two drops with one scale are not
 * independent: fit them to one rate first, or use the better one.
 * Source: Birge, Phys. Rev. 40, 207 (1932); procedure A and the χ² test of Cox, Metrologia 39, 589 (2002).
 * @param ratesHz [n], n >= 1
 * @returns "rates-disagree" with χ², chance, the place in the list of the one farthest off
 *   and the mean of the others
 * @throws RangeError when there is none, a rate or a u is not > 0
 */
export function combineRates(ratesHz: readonly Measured[]): Result<CombinedRate, "rates-disagree"> {
  if (
    ratesHz.length === 0 ||
    !ratesHz.every(({ value, u }) => value > 0 && u > 0 && Number.isFinite(value / u))
  ) {
    throw new RangeError(`combineRates: need rates and u > 0; got ${JSON.stringify(ratesHz)}`);
  }
  const mean = weightedMean(ratesHz);
  const dof = ratesHz.length - 1;
  const chi2 = ratesHz.reduce((sum, { value, u }) => sum + ((value - mean.value) / u) ** 2, 0);
  const chance = dof === 0 ? 1 : chiSquareTail(chi2, dof);
  const birgeRatio = dof === 0 ? 1 : Math.sqrt(chi2 / dof);
  const deviationsInU = ratesHz.map(({ value, u }) =>
    dof === 0 ? 0 : (value - mean.value) / Math.sqrt(u ** 2 - mean.u ** 2),
  );
  if (chance < REFUSE_CHANCE) {
    const farthest = deviationsInU.reduce(
      (best, z, i) => (Math.abs(z) > Math.abs(deviationsInU[best]) ? i : best),
      0,
    );
    const others = weightedMean(ratesHz.filter((_, i) => i !== farthest));
    const offHz = (ratesHz[farthest] as Measured).value - others.value;
    return refuse("rates-disagree", { chi2, dof, chance, farthest, othersHz: others.value, offHz });
  }
  const strained = chance < STRAIN_CHANCE;
  return ok({
    captureRateHz: { value: mean.value, u: mean.u * (strained ? Math.max(1, birgeRatio) : 1) },
    weights: ratesHz.map(({ u }) => (mean.u / u) ** 2),
    chi2,
    dof,
    chance,
    birgeRatio,
    deviationsInU,
    doubts: strained ? [{ code: "rates-strain", numbers: { chance, birgeRatio } }] : [],
  });
}

function weightedMean(rates: readonly Measured[]): Measured {
  const sum = rates.reduce((total, { u }) => total + 1 / u ** 2, 0);
  return {
    value: rates.reduce((total, { value, u }) => total + value / u ** 2, 0) / sum,
    u: 1 / Math.sqrt(sum),
  };
}
