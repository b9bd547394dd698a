import { chiSquareTail } from "../numeric/chi-square.ts";
import { backSubstitute, choleskyInPlace, forwardSubstitute } from "../numeric/cholesky.ts";
import type { Measured } from "../quantity/measured.ts";
import { ok, type Result, refuse } from "../quantity/result.ts";
import type { Doubt } from "./doubt.ts";

export interface CombinedRate {
  readonly captureRateHz: Measured;
  /** [n], sum 1, in the order given: how much each counts. */
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

/** A capture rate with the errors it shares with others, by name; each a relative standard uncertainty. */
export interface SharedRate extends Measured {
  readonly errors?: ReadonlyMap<string, number>;
}

/**
 * Weighted mean of capture rates (what the camera says, drop checks, lamp checks): f = Σ w_i f_i with w =
 * V⁻¹1 / 1ᵀV⁻¹1, u² = 1/1ᵀV⁻¹1, V_ij = f² Σ_k e_ik e_jk for the errors k that both hold (one rod under
 * several drops, gravity), and on the diagonal beside that what is left of u_i²; independent rates have w_i
 * ∝ 1/u_i². The common f stands in V, not each f_i (Peelle's puzzle). Consistency by χ² = (f_i - f)ᵀ V⁻¹ (f_i
 * - f) with n - 1 degrees of freedom: below 5 % chance u is widened by the Birge ratio; below 0.1 % there is
 * no common rate to give. A stated rate of zero u is exact and would hide every check, so it is not taken.
 * Source: Aitken, Proc. R. Soc. Edinb. 55:42 (1935); Birge, Phys. Rev. 40, 207 (1932); procedure A and the
 * χ² test of Cox, Metrologia 39, 589 (2002).
 * @param ratesHz [n], n >= 1; the root sum of squares of a rate's errors is at most its relative u
 * @returns "rates-disagree" with χ², chance, the place in the list of the one farthest off
 *   and the mean of the others
 * @throws RangeError when there is none, a rate or a u is not > 0, or errors are larger than their rate's u
 */
export function combineRates(ratesHz: readonly SharedRate[]): Result<CombinedRate, "rates-disagree"> {
  if (
    ratesHz.length === 0 ||
    !ratesHz.every((rate) => rate.value > 0 && rate.u > 0 && Number.isFinite(rate.value / rate.u)) ||
    !ratesHz.every((rate) => ownVariance(rate) >= 0)
  ) {
    throw new RangeError(`combineRates: need rates and u > 0; got ${JSON.stringify(ratesHz)}`);
  }
  const mean = weightedMean(ratesHz);
  const dof = ratesHz.length - 1;
  const { chi2 } = mean;
  const chance = dof === 0 ? 1 : chiSquareTail(chi2, dof);
  const birgeRatio = dof === 0 ? 1 : Math.sqrt(chi2 / dof);
  const deviationsInU = ratesHz.map(({ value }, i) => {
    const left = mean.variances[i] - mean.u ** 2; // of f_i - f, for the best mean
    return dof === 0 || !(left > 0) ? 0 : (value - mean.value) / Math.sqrt(left);
  });
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
    weights: mean.weights,
    chi2,
    dof,
    chance,
    birgeRatio,
    deviationsInU,
    doubts: strained ? [{ code: "rates-strain", numbers: { chance, birgeRatio } }] : [],
  });
}

/** Hz², of what a rate shares with no other. */
function ownVariance({ value, u, errors }: SharedRate): number {
  const shared = value ** 2 * [...(errors?.values() ?? [])].reduce((sum, error) => sum + error ** 2, 0);
  const own = u ** 2 - shared;
  return Math.abs(own) < 1e-9 * shared ? 0 : own; // rounding of a root sum of squares
}

const TRACE = 1e-18; // relative variance: keeps V positive definite where two rates share every error
const PASSES = 3; // V depends on the mean through its shared part alone: one repeat reaches rounding

/** Mean of rates that share errors, however well they agree; as in combineRates. */
export function weightedMean(rates: readonly SharedRate[]) {
  let mean = rates.reduce((sum, { value }) => sum + value / rates.length, 0);
  let best = bestMean(rates, mean);
  const isShared = rates.some(({ errors }) => errors !== undefined && errors.size > 0);
  for (let pass = 0; isShared && pass < PASSES; pass++) {
    mean = best.value;
    best = bestMean(rates, mean);
  }
  return best;
}

/** The best linear combination with V as it is about a mean. */
function bestMean(rates: readonly SharedRate[], mean: number) {
  const n = rates.length;
  const v = new Float64Array(n * n);
  rates.forEach((rate, i) => {
    for (let j = 0; j <= i; j++) {
      let common = 0;
      for (const [name, error] of rate.errors ?? []) common += error * (rates[j].errors?.get(name) ?? 0);
      const own = i === j ? Math.max(ownVariance(rate), TRACE * mean ** 2) : 0;
      v[i * n + j] = mean ** 2 * common + own;
    }
  });
  const variances = rates.map((_, i) => v[i * n + i]);
  if (choleskyInPlace(v, n) === null) throw new Error("combineRates: covariance is not positive definite");
  const ones = backSubstitute(
    v,
    n,
    forwardSubstitute(
      v,
      n,
      rates.map(() => 1),
    ),
  );
  const information = ones.reduce((sum, w) => sum + w, 0);
  const weights = Array.from(ones, (w) => w / information);
  const value = rates.reduce((sum, rate, i) => sum + weights[i] * rate.value, 0);
  const left = forwardSubstitute(
    v,
    n,
    rates.map((rate) => rate.value - value),
  );
  return {
    value,
    u: 1 / Math.sqrt(information),
    weights,
    variances,
    chi2: left.reduce((sum, z) => sum + z * z, 0),
  };
}
