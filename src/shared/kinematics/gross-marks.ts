import type { PlaneMark } from "./body-shape.ts";
import type { PlaneResidual } from "./mark-residuals.ts";

const GROSS = 5; // noise widths: a good mark is beyond this once in 270 000 (Rayleigh, exp(-5²/2))
const MEDIAN_OF_RAYLEIGH = Math.sqrt(2 * Math.LN2);
// marks this close to the worst go with it; lesser ones may only have been pulled by it, and wait
const NEAR_WORST = 0.4;
// frames before and after: a motion that the fit does not follow is off by nearly the same in them
const BESIDE = 2;
// of the limit: what is left of a mark once the misfit of its frame is taken out has the scatter of both
const APART = 0.8;

/** Whether a mark cannot belong to the motion, given its residual. */
export type MarkJudge = (residual: PlaneResidual) => boolean;

/**
 * The marks that cannot belong to the same motion. One gross mark pulls the fit at its neighbours, so only
 * the worst are named; fit again without them and ask again.
 */
export function grossMarks(residuals: readonly PlaneResidual[]): readonly PlaneMark[] {
  const gross = residuals.filter(markJudge(residuals));
  const worst = gross.reduce((most, { z }) => Math.max(most, z), 0);
  return gross
    .filter(({ z }) => z > NEAR_WORST * worst)
    .sort((a, b) => b.z - a.z)
    .map(({ mark }) => mark);
}

/**
 * Judges marks against a fit. Gross is a mark beyond 5 noise widths, the width taken from the median so that
 * the gross ones do not hide each other (Rousseeuw & Leroy, Robust Regression and Outlier Detection, 1987),
 * and never narrower than stated. But where the other points of the airframe are off the same way, the fit
 * does not follow the motion there, and the mark is not at fault: a release not yet found, or a push sharper
 * than its knots, must not cost the marks that show it.
 * @param fitted residuals of the marks that are in the fit; others may be judged by them too
 */
export function markJudge(fitted: readonly PlaneResidual[]): MarkJudge {
  const limit = grossLimit(fitted);
  const frames = new Map<number, PlaneResidual[]>();
  for (const residual of fitted) {
    const list = frames.get(residual.mark.frame);
    if (list) list.push(residual);
    else frames.set(residual.mark.frame, [residual]);
  }
  return (residual) => residual.z > limit && !sharesMisfit(residual, frames, limit);
}

/** The z beyond which a mark is gross, given the residuals of the marks that are in the fit. */
function grossLimit(residuals: readonly PlaneResidual[]): number {
  return GROSS * Math.max(1, medianOf(residuals.map(({ z }) => z)) / MEDIAN_OF_RAYLEIGH);
}

function sharesMisfit(
  { mark, dx, dy }: PlaneResidual,
  frames: ReadonlyMap<number, readonly PlaneResidual[]>,
  limit: number,
): boolean {
  const beside: PlaneResidual[] = [];
  for (let frame = mark.frame - BESIDE; frame <= mark.frame + BESIDE; frame++) {
    beside.push(
      ...(frames.get(frame) ?? []).filter(
        (other) => other.mark.frame !== mark.frame || other.mark.point !== mark.point,
      ),
    );
  }
  const ofOthers = beside.filter((other) => other.mark.point !== mark.point);
  const witnesses = ofOthers.length > 0 ? ofOthers : beside;
  if (witnesses.length === 0) return false;
  const apart = Math.hypot(
    dx - medianOf(witnesses.map((other) => other.dx)),
    dy - medianOf(witnesses.map((other) => other.dy)),
  );
  return apart <= APART * limit * mark.u;
}

function medianOf(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const half = Math.floor(sorted.length / 2);
  return sorted.length % 2 === 1 ? sorted[half] : ((sorted[half - 1] ?? 0) + (sorted[half] ?? 0)) / 2;
}
