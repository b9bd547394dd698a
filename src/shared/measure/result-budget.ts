import { estimateOf, type MotionSample } from "../kinematics/motion-estimates.ts";
import type { MotionNumbers } from "../kinematics/motion-numbers.ts";
import type { MotionNumberName } from "../kinematics/withheld.ts";
import type { Measured, Quantity } from "../quantity/measured.ts";
import { QUANTITIES } from "../results/quantity-table.ts";
import type { BudgetLine, QuantityName } from "../results/shot-result.ts";
import type { Airframe } from "../session/schema.ts";
import { bodyOf, isKnown, type ResultNumbers, resultNumbers } from "./result-numbers.ts";
import type { SystematicParts } from "./systematic-parts.ts";

export interface ResultsWithBudget {
  readonly quantities: Partial<Record<QuantityName, Quantity>>;
  readonly budget: Partial<Record<QuantityName, readonly BudgetLine[]>>;
}

const LEAST_LINE = 0.01; // of the marks' part: a ten-thousandth of the variance is not worth a line

/**
 * Results with their budget: the marks' part from the sample, the systematic parts as given; u is
 * the root sum of squares.
 * @param withheld numbers of the motion that the marks do not carry: results that need them are left out
 */
export function resultsWithBudget(
  sample: MotionSample,
  systematic: SystematicParts,
  airframe: Airframe,
  withheld: ReadonlySet<MotionNumberName> = new Set(),
): ResultsWithBudget {
  const body = bodyOf(airframe);
  const first = sample.means[0];
  if (first === undefined) return { quantities: {}, budget: {} };
  const all = Object.keys(resultNumbers(first.numbers, body)) as QuantityName[];
  const names = all.filter((name) => isKnown(name, withheld));
  const parts = bodyParts(first.numbers, airframe);
  const quantities: Partial<Record<QuantityName, Quantity>> = {};
  const budget: Partial<Record<QuantityName, readonly BudgetLine[]>> = {};
  for (const name of names) {
    const estimate = estimateOf(sample, (numbers) => resultNumbers(numbers, body)[name] ?? 0);
    const lines = budgetLines(name, estimate, systematic, parts);
    const u = Math.hypot(...lines.map((line) => line.u));
    const { unit, how = "" } = QUANTITIES[name];
    quantities[name] = { value: estimate.value, u, unit, how };
    budget[name] = lines;
  }
  return { quantities, budget };
}

function budgetLines(
  name: QuantityName,
  estimate: Measured,
  systematic: SystematicParts,
  body: readonly BodyPart[],
): readonly BudgetLine[] {
  // What marks share, where a follower placed them, is the marks' part too.
  const shared = systematic.variances.get("marks")?.[name] ?? 0;
  const lines: BudgetLine[] = [{ source: "marks", u: Math.sqrt(estimate.u ** 2 + shared) }];
  for (const [source, variances] of systematic.variances) {
    const variance = variances[name] ?? 0;
    const assumed = (systematic.assumed.get(source)?.[name] ?? 0) > 0.5;
    if (source !== "marks" && variance > 0) {
      lines.push({ source, u: Math.sqrt(variance), ...(assumed && { assumed }) });
    }
  }
  for (const { source, relativeU, assumed } of body) {
    const u = Math.abs(estimate.value * (relativeU[name] ?? 0));
    if (u > 0) lines.push({ source, u, ...(assumed && { assumed }) });
  }
  return lines.filter((line) => line.source === "marks" || line.u > LEAST_LINE * estimate.u);
}

/**
 * The relative u that an input of the airframe alone gives each result: d ln(result)/d
 * ln(input) times its own.
 */
interface BodyPart {
  readonly source: "mass" | "pitch inertia";
  readonly relativeU: ResultNumbers;
  readonly assumed: true | undefined;
}

// relative: every result is a power of the input, whose central difference is then right to 1e-8
const STEP = 1e-4;

function bodyParts(motion: MotionNumbers, airframe: Airframe): readonly BodyPart[] {
  const body = bodyOf(airframe);
  const at = resultNumbers(motion, body);
  return (
    [
      ["mass", "massKg"],
      ["pitch inertia", "pitchInertiaKgM2"],
    ] as const
  ).flatMap(([source, key]) => {
    const input = airframe[key];
    if (input === null || input.value === 0) return [];
    const beside = (factor: number) => resultNumbers(motion, { ...body, [key]: input.value * factor });
    const [above, below] = [beside(1 + STEP), beside(1 - STEP)];
    const relativeU = Object.entries(at).map(([name, value]) => {
      const change = (above[name as QuantityName] ?? value) - (below[name as QuantityName] ?? value);
      return [name, value === 0 ? 0 : ((change / value / (2 * STEP)) * input.u) / input.value];
    });
    const { assumed } = input;
    return [{ source, relativeU: Object.fromEntries(relativeU) as ResultNumbers, assumed }];
  });
}
