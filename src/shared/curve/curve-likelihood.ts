import { filterCurve } from "./curve-filter.ts";
import type { CurveModel, CurveRecord } from "./curve-model.ts";
import { curveSteps, type Stretch } from "./curve-steps.ts";

/** Whether the errors' variance is found from the stretch itself or given; stated u count as variance 1. */
export type ErrorVariance = "found" | number;

export interface Score {
  /** -2 log restricted likelihood, up to a constant of the samples. */
  readonly score: number;
  /** The errors' variance: given, or the likeliest. */
  readonly variance: number;
  readonly freedom: number;
}

/**
 * Restricted likelihood of a model over a stretch: value, rate and acceleration at its start are integrated
 * over (Patterson & Thompson, Biometrika 58:545, 1971).
 * @returns null when the samples do not settle them
 */
export function scoreOf(
  record: CurveRecord,
  model: CurveModel,
  stretch: Stretch,
  errors: ErrorVariance,
): Score | null {
  const filtered = filterCurve(record, curveSteps(record, model, stretch), model.lag, model.jumps);
  return filtered.start === null ? null : scoreFrom(filtered, errors, record.leastVariance);
}

export function scoreFrom(
  {
    logSum,
    squares,
    freedom,
  }: { readonly logSum: number; readonly squares: number; readonly freedom: number },
  errors: ErrorVariance,
  leastVariance: number,
): Score {
  const variance = errors === "found" ? Math.max(squares / Math.max(freedom, 1), leastVariance) : errors;
  return { score: logSum + squares / variance + freedom * Math.log(variance), variance, freedom };
}
