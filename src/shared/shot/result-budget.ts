import { EXTREMES, estimateOf, type MotionSample } from "../kinematics/motion-estimates.ts";
import type { MotionFit } from "../kinematics/motion-fit.ts";
import { refit } from "../kinematics/refit.ts";
import type { Measured, Quantity } from "../quantity/measured.ts";
import type { Airframe } from "../session/schema.ts";
import type { Disturbance } from "./disturbances.ts";
import type { MeasuringSetUp } from "./measuring-set-up.ts";
import { QUANTITIES } from "./quantity-table.ts";
import { RESULT_HOW } from "./result-how.ts";
import { type Body, type ResultNumbers, resultNumbers } from "./result-numbers.ts";
import type { BudgetLine, QuantityName } from "./shot-result.ts";

type Source = BudgetLine["source"];
/** Variance that each source brings to each result. */
export type SystematicParts = ReadonlyMap<Source, Readonly<Partial<Record<QuantityName, number>>>>;

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
  const lines: BudgetLine[] = [{ source: "marks", u: estimate.u }];
  for (const [source, variances] of systematic) {
    const variance = variances[name] ?? 0;
    if (variance > 0) lines.push({ source, u: Math.sqrt(variance) });
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

/** Nominal mass and inertia. */
export function bodyOf({ massKg, pitchInertiaKgM2 }: Airframe): Body {
  return { massKg: massKg?.value ?? null, pitchInertiaKgM2: pitchInertiaKgM2?.value ?? null };
}

/**
 * Variance that each systematic source brings: every input moved by its u to either side, the fit repeated at the same release
 * and smoothness. First order with the second-order term of the GUM: (d₁)² + (d₂)²/2, d₁ = (f₊ - f₋)/2, d₂ = f₊ + f₋ - 2 f₀.
 * Source: JCGM 100:2008, 5.1.2 with its note on higher-order terms.
 */
export function systematicParts(
  fit: MotionFit,
  setUp: MeasuringSetUp,
  inputs: readonly Disturbance[],
  airframe: Airframe,
): SystematicParts {
  const body = bodyOf(airframe);
  const parts = new Map<Source, Partial<Record<QuantityName, number>>>();
  const numbersAt = (marks: MeasuringSetUp["marks"], axis: MeasuringSetUp["axis"]): ResultNumbers | null => {
    const motion = refit(fit, marks, axis);
    return motion === null ? null : resultNumbers(motion, body);
  };
  const nominal = numbersAt(setUp.marks, setUp.axis);
  if (nominal === null) return parts;
  for (const input of inputs) {
    const [above, below] = [input.at(1), input.at(-1)].map(({ marks, axis }) => numbersAt(marks, axis)) as [
      ResultNumbers | null,
      ResultNumbers | null,
    ];
    if (!above || !below) continue;
    const sum = parts.get(input.source) ?? {};
    for (const name of Object.keys(nominal) as QuantityName[]) {
      const [up, down, here] = [above[name] ?? 0, below[name] ?? 0, nominal[name] ?? 0];
      const second = up + down - 2 * here;
      sum[name] = (sum[name] ?? 0) + ((up - down) / 2) ** 2 + second ** 2 / 2;
    }
    parts.set(input.source, sum);
  }
  return parts;
}
