import { EXTREMES, estimateOf, type MotionSample } from "../kinematics/motion-estimates.ts";
import type { Measured, Quantity } from "../quantity/measured.ts";
import { QUANTITIES } from "../results/quantity-table.ts";
import { RESULT_HOW } from "../results/result-how.ts";
import type { BudgetLine, QuantityName } from "../results/shot-result.ts";
import type { Airframe } from "../session/schema.ts";
import { bodyOf, resultNumbers } from "./result-numbers.ts";
import type { SystematicParts } from "./systematic-parts.ts";

export interface ResultsWithBudget {
  readonly quantities: Partial<Record<QuantityName, Quantity>>;
  readonly budget: Partial<Record<QuantityName, readonly BudgetLine[]>>;
}

const LEAST_LINE = 0.01; // of the marks' part: a ten-thousandth of the variance is not worth a line

/** Results with their budget: the marks' part from the sample, the systematic parts as given; u is the root sum of squares. */
export function resultsWithBudget(
  sample: MotionSample,
  systematic: SystematicParts,
  airframe: Airframe,
): ResultsWithBudget {
  const body = bodyOf(airframe);
  const first = sample.means[0];
  if (first === undefined) return { quantities: {}, budget: {} };
  const names = Object.keys(resultNumbers(first.numbers, body)) as QuantityName[];
  const quantities: Partial<Record<QuantityName, Quantity>> = {};
  const budget: Partial<Record<QuantityName, readonly BudgetLine[]>> = {};
  for (const name of names) {
    const estimate = estimateOf(
      sample,
      (numbers) => resultNumbers(numbers, body)[name] ?? 0,
      EXTREMES.has(name as never) || ["loadFactor", "peakForce", "peakPower"].includes(name),
    );
    const lines = budgetLines(name, estimate, systematic, airframe);
    const u = Math.hypot(...lines.map((line) => line.u));
    quantities[name] = { value: estimate.value, u, unit: QUANTITIES[name].unit, how: RESULT_HOW[name] ?? "" };
    budget[name] = lines;
  }
  return { quantities, budget };
}

function budgetLines(
  name: QuantityName,
  estimate: Measured,
  systematic: SystematicParts,
  { massKg, pitchInertiaKgM2 }: Airframe,
): readonly BudgetLine[] {
  // What marks share, where a follower placed them, is the marks' part too.
  const shared = systematic.variances.get("marks")?.[name] ?? 0;
  const lines: BudgetLine[] = [{ source: "marks", u: Math.sqrt(estimate.u ** 2 + shared) }];
  for (const [source, variances] of systematic.variances) {
    const variance = variances[name] ?? 0;
    if (source !== "marks" && variance > 0) lines.push({ source, u: Math.sqrt(variance) });
  }
  const relative = (input: Measured | null) => (input === null ? 0 : input.u / input.value);
  if (BY_MASS.has(name)) lines.push({ source: "mass", u: Math.abs(estimate.value) * relative(massKg) });
  if (name === "pushLineOffset") {
    lines.push({ source: "mass", u: Math.abs(estimate.value) * relative(massKg) });
    lines.push({ source: "pitch inertia", u: Math.abs(estimate.value) * relative(pitchInertiaKgM2) });
  }
  return lines.filter((line) => line.source === "marks" || line.u > LEAST_LINE * estimate.u);
}

/** Proportional to the airframe's mass. */
const BY_MASS: ReadonlySet<QuantityName> = new Set([
  "peakForce",
  "meanForce",
  "impulse",
  "pushWork",
  "peakPower",
]);
