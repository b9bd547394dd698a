import { measureShot } from "../measure/measure-shot.ts";
import type { Measured } from "../quantity/measured.ts";
import type { ShotNotice } from "../results/notices/shot-notices.ts";
import type { BudgetLine, Headline } from "../results/shot-result.ts";
import { byHeadline } from "./by-headline.ts";
import type { ExpectedMotion } from "./expected-motion.ts";
import type { CameraPlanInput } from "./plan-input.ts";
import { PLANNED_SHOT_ID, plannedSession } from "./planned-shot.ts";
import type { PlannedView } from "./planned-view.ts";

/**
 * The standard uncertainty that measuring states of a result, with its sources; u is the root sum
 * of squares of the lines.
 */
export interface PredictedU {
  readonly u: number;
  readonly budget: readonly BudgetLine[];
}

export type HeadlineUs = Readonly<Record<Headline, PredictedU>>;

/** One simulated shot as measured: values with their u, budgets, and what was said. */
export interface SimulatedMeasurement {
  readonly results: Readonly<Record<Headline, Measured & { readonly budget: readonly BudgetLine[] }>> | null;
  readonly notices: readonly ShotNotice[];
}

/** Films, marks and measures the expected shot once, by the same functions that measure a real one. */
export function simulateMeasurement(
  input: CameraPlanInput,
  motion: ExpectedMotion,
  view: PlannedView,
  seed: number,
  errors: "marks" | "all",
): SimulatedMeasurement {
  const session = plannedSession(input, motion, view, seed, errors);
  const { measurement, notices } = measureShot(session, PLANNED_SHOT_ID, null);
  if (measurement === null) return { results: null, notices };
  const results = byHeadline((name) => {
    const { value, u } = measurement.quantities[name] ?? { value: Number.NaN, u: Number.NaN };
    return { value, u, budget: measurement.budget[name] ?? [] };
  });
  const whole = Object.values(results).every(({ u }) => Number.isFinite(u));
  return { results: whole ? results : null, notices };
}

/** What several simulated shots state, as root mean square, line by line; null when there are none. */
export function meanU(measurements: readonly SimulatedMeasurement[]): HeadlineUs | null {
  const all = measurements.flatMap(({ results }) => (results === null ? [] : [results]));
  if (all.length === 0) return null;
  return byHeadline((name) => {
    const sources = [...new Set(all.flatMap((one) => one[name].budget.map((line) => line.source)))];
    const budget = sources.map((source) => {
      const squares = all.map((one) =>
        one[name].budget.reduce((sum, line) => sum + (line.source === source ? line.u ** 2 : 0), 0),
      );
      return { source, u: Math.sqrt(squares.reduce((sum, square) => sum + square, 0) / all.length) };
    });
    return { u: Math.hypot(...budget.map((line) => line.u)), budget };
  });
}
