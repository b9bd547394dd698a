import { medianOf } from "../numeric/order-statistics.ts";
import type { PlaneMark } from "./body-shape.ts";
import type { PlaneResidual } from "./mark-residuals.ts";

const GROSS = 5; // noise widths: a good mark is beyond this once in 270 000 (Rayleigh, exp(-5²/2))
const MEDIAN_OF_RAYLEIGH = Math.sqrt(2 * Math.LN2);
// marks this close to the worst go with it; lesser ones may only have been pulled by it, and wait
const NEAR_WORST = 0.4;
// frames before and after: a motion that the fit does not follow is off by nearly the same in them
const BESIDE = 2;
// marks of the same point before and after, each side by itself: at the end of a run one side is alike
const AROUND = 3;
// of the limit: what is left of a mark once the misfit of its frame is taken out has the scatter of both
const APART = 0.8;

/** Whether a mark cannot belong to the motion, given its residual. */
export type MarkJudge = (residual: PlaneResidual) => boolean;

/**
 * The marks that cannot belong to the same motion. One gross mark pulls the fit at its neighbours, so only
 * the worst are named; fit again without them and ask again.
 * @param alone only those that the other marks of their point, in the frames around, do not resemble
 */
export function grossMarks(residuals: readonly PlaneResidual[], alone = false): readonly PlaneMark[] {
  const ofAll = residuals.filter(markJudge(residuals));
  const gross = alone ? standingAlone(ofAll, residuals) : ofAll;
  const worst = ofAll.reduce((most, { z }) => Math.max(most, z), 0);
  return gross
    .filter(({ z }) => z > NEAR_WORST * worst)
    .sort((a, b) => b.z - a.z)
    .map(({ mark }) => mark);
}

function standingAlone(
  gross: readonly PlaneResidual[],
  residuals: readonly PlaneResidual[],
): readonly PlaneResidual[] {
  if (gross.length === 0) return gross;
  const points = new Map<number, PlaneResidual[]>();
  for (const residual of residuals) {
    const list = points.get(residual.mark.point);
    if (list) list.push(residual);
    else points.set(residual.mark.point, [residual]);
  }
  const limit = grossLimit(residuals);
  return gross.filter((residual) => {
    const own = points.get(residual.mark.point) ?? [];
    const at = indexOfFrame(own, residual.mark.frame);
    const apartFrom = (around: readonly PlaneResidual[]) =>
      around.length === 0 ||
      Math.hypot(
        residual.dx - medianOf(around.map(({ dx }) => dx)),
        residual.dy - medianOf(around.map(({ dy }) => dy)),
      ) >
        APART * limit * residual.mark.u;
    return (
      apartFrom(own.slice(Math.max(0, at - AROUND), at)) && apartFrom(own.slice(at + 1, at + 1 + AROUND))
    );
  });
}

/** Where a frame stands among residuals in order of frames: by halving, since this is asked for many. */
function indexOfFrame(own: readonly PlaneResidual[], frame: number): number {
  let [low, high] = [0, own.length - 1];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (own[middle].mark.frame < frame) low = middle + 1;
    else high = middle;
  }
  return low;
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
export function grossLimit(residuals: readonly PlaneResidual[]): number {
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
