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
