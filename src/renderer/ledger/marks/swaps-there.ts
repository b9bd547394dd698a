import type { Measurement } from "../../../shared/results/shot-result.ts";
import type { Mark } from "../../../shared/session/schema.ts";
import type { MarkSwap } from "../../../shared/session/swap-marks.ts";

/** A measurement without the residuals of marks that are merely swapped: those are told of as such. */
export function besideSwapped(measurement: Measurement): Measurement {
  const swapped = new Set(
    (measurement.swapped ?? []).flatMap(({ frame, pointIds }) => pointIds.map((id) => `${frame} ${id}`)),
  );
  if (swapped.size === 0) return measurement;
  const residuals = measurement.residuals.filter(({ frame, pointId }) => !swapped.has(`${frame} ${pointId}`));
  return { ...measurement, residuals };
}

/**
 * The swaps that a measurement found and whose marks are all still there: one may have been removed since.
 */
export function swapsThere(measurement: Measurement | null, marks: readonly Mark[]): readonly MarkSwap[] {
  const placed = new Set(marks.map(({ frame, pointId }) => `${frame} ${pointId}`));
  return (measurement?.swapped ?? []).filter(({ frame, pointIds }) =>
    pointIds.every((pointId) => placed.has(`${frame} ${pointId}`)),
  );
}
