import type { Measured } from "../quantity/measured.ts";
import { numericalTolerance } from "../quantity/numerical-tolerance.ts";
import { type DrawnResults, HEADLINES, type Headline } from "../results/shot-result.ts";
import type { ResultsWithBudget } from "./result-budget.ts";
import type { DrawnInputs } from "./systematic-parts.ts";

/**
 * The headline results twice: their inputs moved one at a time (JCGM 100), and all drawn together (JCGM 101).
 * What the marks leave is the same in both. They agree when value and u differ by no more than the tolerance
 * of u to one digit; the u of 1000 draws is itself good to 2 % only, so that a second digit would be chance.
 * Source: JCGM 101:2008, 7.9.2 and 8.1.
 * @param results as stated by either of the two: only values, and what is not systematic, are taken from them
 * @returns null when there is no headline result, or none of the draws gave a motion
 */
export function drawnResults(
  { quantities, budget }: ResultsWithBudget,
  drawn: DrawnInputs,
): DrawnResults | null {
  if (drawn.draws === 0) return null;
  const headlines: Partial<Record<Headline, NonNullable<DrawnResults["headlines"][Headline]>>> = {};
  for (const name of HEADLINES) {
    const quantity = quantities[name];
    if (quantity === undefined) continue;
    const marks = Math.hypot(
      ...(budget[name] ?? []).filter((line) => line.source === "marks").map((line) => line.u),
    );
    const whole = (systematic: number | undefined) => Math.sqrt(marks ** 2 + (systematic ?? 0));
    const apart = { value: quantity.value, u: whole(drawn.firstOrder[name]) };
    const together = {
      value: quantity.value + (drawn.shift[name] ?? 0),
      u: whole(drawn.variance[name]),
    };
    headlines[name] = { apart, together, agree: agrees(apart, together) };
  }
  return Object.keys(headlines).length === 0 ? null : { draws: drawn.draws, headlines };
}

function agrees(apart: Measured, together: Measured): boolean {
  const tolerance = numericalTolerance(apart.u);
  return Math.abs(together.u - apart.u) <= tolerance && Math.abs(together.value - apart.value) <= tolerance;
}
