import type { Chance } from "../quantity/chance.ts";
import type { Measured } from "../quantity/measured.ts";
import { numericalTolerance } from "../quantity/numerical-tolerance.ts";
import type { UncertainInput } from "./propagate.ts";

/**
 * One output by drawing its inputs: mean, standard deviation, and the interval that holds 95 % of the
 * draws, as much above as below.
 */
export interface Drawn extends Measured {
  readonly low95: number;
  readonly high95: number;
  /** Share of the draws at which the model has no value; they are left out. */
  readonly without: number;
}

/**
 * Propagation of distributions: every input is drawn from a normal distribution, independently,
 * and kept within its limits.
 * Source: JCGM 101:2008, 7. Needed where `propagate` fails because the model bends within a few u.
 * @param model the output, or null where it has none
 * @returns null when fewer than half of the draws have a value
 * @throws RangeError when draws is not a whole number of 1000 or more
 */
export function propagateByDraws(
  model: (inputs: readonly number[]) => number | null,
  inputs: readonly UncertainInput[],
  chance: Chance,
  draws: number,
): Drawn | null {
  if (!(Number.isInteger(draws) && draws >= 1000))
    throw new RangeError(`propagateByDraws: need 1000 draws or more; got ${draws}`);
  const values: number[] = [];
  for (let i = 0; i < draws; i++) {
    const at = inputs.map(({ value, u, low = -Infinity, high = Infinity }) =>
      u === 0 ? value : Math.min(high, Math.max(low, value + u * chance.normal())),
    );
    const out = model(at);
    if (out !== null && Number.isFinite(out)) values.push(out);
  }
  const n = values.length;
  if (n < draws / 2) return null;
  const mean = values.reduce((sum, x) => sum + x, 0) / n;
  const u = Math.sqrt(values.reduce((sum, x) => sum + (x - mean) ** 2, 0) / (n - 1));
  const sorted = Float64Array.from(values).sort();
  return {
    value: mean,
    u,
    low95: quantile(sorted, 0.025),
    high95: quantile(sorted, 0.975),
    without: 1 - n / draws,
  };
}

/**
 * Whether the first-order result may stand: both ends of value ± 1.96 u lie within the numerical tolerance of
 * u of the drawn interval.
 * Source: JCGM 101:2008, 8.1, with one significant digit.
 */
export function linearHolds(linear: Measured, drawn: Drawn): boolean {
  if (drawn.u === 0) return true;
  const allowed = numericalTolerance(drawn.u);
  const half = NORMAL_95 * linear.u;
  return (
    Math.abs(linear.value - half - drawn.low95) <= allowed &&
    Math.abs(linear.value + half - drawn.high95) <= allowed
  );
}

const NORMAL_95 = 1.959964; // 97.5 % quantile of the normal distribution

/** Between the two nearest of sorted values, at p (n − 1). */
function quantile(sorted: Float64Array, p: number): number {
  const at = p * (sorted.length - 1);
  const i = Math.floor(at);
  const next = sorted[Math.min(i + 1, sorted.length - 1)];
  return sorted[i] + (at - i) * (next - sorted[i]);
}
