import { leastNear } from "../numeric/likelihood-profile.ts";
import type { ErrorVariance } from "./curve-likelihood.ts";
import type { CurveModel, CurveRecord } from "./curve-model.ts";
import { scannedSmoothness, smoothnessFit } from "./smoothness-fit.ts";

const TRIED = [0.3, 0.6, 0.85];
const MOST_LAG = 0.97; // beyond it errors and curve are one

/**
 * The correlation of errors a spacing apart that the restricted likelihood likes best, smoothness found again
 * for each.
 * @returns it with its score; null when the samples do not settle the curve
 */
export function likeliestLag(
  record: CurveRecord,
  model: CurveModel,
  errors: ErrorVariance,
): { readonly lag: number; readonly score: number } | null {
  const whole = { from: 0, to: record.times.length };
  const fitAt = (lag: number, from: CurveModel) => {
    const lagged = { ...from, lag };
    return from.logSmoothness.length === 1
      ? scannedSmoothness(record, lagged, whole, errors)
      : smoothnessFit(record, lagged, whole, errors, 8);
  };
  const tried = TRIED.flatMap((lag) => fitAt(lag, model) ?? []);
  if (tried.length === 0) return null;
  let best = tried.reduce((a, b) => (b.score < a.score ? b : a));
  const scoreAt = (lag: number): number => {
    const fit = smoothnessFit(record, { ...best.model, lag }, whole, errors, 4);
    if (fit === null) return Number.POSITIVE_INFINITY;
    if (fit.score < best.score) best = fit;
    return fit.score;
  };
  leastNear(scoreAt, best.model.lag, 0.1, 0, MOST_LAG);
  return { lag: best.model.lag, score: best.score };
}
