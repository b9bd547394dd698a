import { combineRates, weightedMean } from "../clock/combine-rate.ts";
import type { Measured } from "../quantity/measured.ts";
import { CLOCK_NOTICES } from "../results/notices/clock-notices.ts";
import type { ShotNotice } from "../results/notices/shot-notices.ts";
import type { ClockCheck } from "./clock-check.ts";

/** A capture rate with what each error of its checks does to it, over the rate. */
export interface RateInUse {
  readonly rate: Measured;
  readonly errors: ReadonlyMap<string, number>;
  readonly notices: readonly ShotNotice[];
}

/**
 * The stated rate and its checks as one, with what each error of the checks does to it: two drops measured
 * with one rod share its error. Checks that are not to be used still contradict: then, as where there is no
 * common rate to give, the stated one is off by as much as it differs from them.
 */
export function rateInUse(stated: Measured, checks: readonly ClockCheck[], used: boolean): RateInUse {
  const ofChecks = checks.map(({ captureRateHz, errors }) => ({
    ...captureRateHz,
    errors: new Map(errors.map(({ key, relative }) => [key, relative])),
  }));
  const rates = combineRates([stated, ...ofChecks]);
  if (!rates.ok) {
    const off = stated.value - weightedMean(ofChecks).value;
    const rate = { value: stated.value, u: Math.hypot(stated.u, off) };
    return { rate, errors: new Map(), notices: [CLOCK_NOTICES["rates-disagree"](Math.abs(off))] };
  }
  if (!used) return { rate: stated, errors: new Map(), notices: [] };
  const errors = new Map<string, number>();
  ofChecks.forEach((one, i) => {
    const weight = rates.value.weights[i + 1] ?? 0;
    for (const [key, relative] of one.errors) errors.set(key, (errors.get(key) ?? 0) + weight * relative);
  });
  return { rate: rates.value.captureRateHz, errors, notices: [] };
}

const ONE_SETTING = Math.log(1.2); // cameras offer rates a factor of 2 apart, or nearly

/**
 * The checks that speak of frames filmed at a stated rate. A check in a clip with parts speaks of the rate
 * stated for its own part; one in a clip of one rate speaks of every such clip and, where a clip has parts,
 * of those near the rate it found.
 */
export function checksOfRate(
  stated: Measured,
  checks: readonly ClockCheck[],
  isOfPart: boolean,
): readonly ClockCheck[] {
  return checks.filter(({ statedHz, captureRateHz }) => {
    if (statedHz === null && !isOfPart) return true;
    return Math.abs(Math.log((statedHz ?? captureRateHz.value) / stated.value)) < ONE_SETTING;
  });
}
