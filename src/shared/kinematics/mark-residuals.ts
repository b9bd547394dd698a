import { type BodyShape, type FrameMarks, type PlaneMark, posePoints } from "./body-shape.ts";

/**
 * How far a mark lies from where the fitted motion puts its point: m on the flight plane (x forward, y
 * up), and over its own u.
 */
export interface PlaneResidual {
  readonly mark: PlaneMark;
  readonly dx: number;
  readonly dy: number;
  readonly z: number;
}

/**
 * Pose at an instant in the launch frame: s along the launch direction, n across, pitch from the horizontal.
 */
export type PoseAt = (timeS: number) => readonly [s: number, n: number, pitch: number];

/** Residuals of all marks against a motion. */
export function markResiduals(
  frames: readonly FrameMarks[],
  shape: BodyShape,
  directionRad: number,
  poseAt: PoseAt,
): readonly PlaneResidual[] {
  const [cosD, sinD] = [Math.cos(directionRad), Math.sin(directionRad)];
  return frames.flatMap((marks) => {
    const [s, n, pitch] = poseAt((marks[0] as PlaneMark).timeS);
    const [x, y] = [cosD * s - sinD * n, sinD * s + cosD * n];
    const [cos, sin] = [Math.cos(pitch), Math.sin(pitch)];
    const known = marks.filter((mark) => shape.has(mark.point));
    return posePoints(known, shape).map(({ body, seen, u }, i) => {
      const dx = seen[0] - (x + cos * body[0] - sin * body[1]);
      const dy = seen[1] - (y + sin * body[0] + cos * body[1]);
      return { mark: known[i] as PlaneMark, dx, dy, z: Math.hypot(dx, dy) / u };
    });
  });
}

const GROSS = 5; // noise widths: a good mark is beyond this once in 270 000 (Rayleigh, exp(-5²/2))
const MEDIAN_OF_RAYLEIGH = Math.sqrt(2 * Math.LN2);
// marks this close to the worst go with it; lesser ones may only have been pulled by it, and wait
const NEAR_WORST = 0.4;

/**
 * The marks that cannot belong to the same motion: beyond 5 noise widths, the width taken from the median so
 * that the gross ones do not hide each other (Rousseeuw & Leroy, Robust Regression and Outlier Detection,
 * 1987), and never narrower than stated. One gross mark pulls the fit at its neighbours, so only the worst
 * are named; fit again without them and ask again.
 */
export function grossMarks(residuals: readonly PlaneResidual[]): readonly PlaneMark[] {
  const limit = grossLimit(residuals);
  const worst = Math.max(0, ...residuals.map((residual) => residual.z));
  return residuals
    .filter((residual) => residual.z > Math.max(limit, NEAR_WORST * worst))
    .sort((a, b) => b.z - a.z)
    .map((residual) => residual.mark);
}

/** The z beyond which a mark is gross, given the residuals of the marks that are in the fit. */
export function grossLimit(residuals: readonly PlaneResidual[]): number {
  const sorted = residuals.map((residual) => residual.z).sort((a, b) => a - b);
  const median = sorted[Math.floor(sorted.length / 2)] ?? 0;
  return GROSS * Math.max(1, median / MEDIAN_OF_RAYLEIGH);
}
