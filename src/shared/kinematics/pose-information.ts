import type { BodyShape, FrameMarks } from "./body-shape.ts";
import type { PoseInformation } from "./normal-equations.ts";

/**
 * Turns the marks of one frame into a quadratic form in the pose (s, n, angle), linearised in the angle about
 * `angleRad`: seen ~ c + R0 b + (angle - angle0) J R0 b. One mark gives a form of rank 2: it still counts.
 * @param directionRad launch direction above the horizontal; s is along it, n across it, upwards
 */
export function poseInformation(
  marks: FrameMarks,
  shape: BodyShape,
  angleRad: number,
  directionRad: number,
): PoseInformation {
  const [cosP, sinP] = [Math.cos(angleRad), Math.sin(angleRad)];
  const [cosD, sinD] = [Math.cos(directionRad), Math.sin(directionRad)];
  let [sum, alongArm, acrossArm, turning, es, en, ea, constant] = [0, 0, 0, 0, 0, 0, 0, 0];
  for (const { point, x, y, u } of marks) {
    const body = shape.get(point);
    if (body === undefined) continue;
    const weight = 1 / (u * u);
    const armX = cosP * body[0] - sinP * body[1];
    const armY = sinP * body[0] + cosP * body[1];
    // in (s, n): the arm, its derivative J arm, and what is left of the seen place
    const [armS, armN] = [cosD * armX + sinD * armY, -sinD * armX + cosD * armY];
    const [turnS, turnN] = [-armN, armS];
    const restS = cosD * x + sinD * y - armS + angleRad * turnS;
    const restN = -sinD * x + cosD * y - armN + angleRad * turnN;
    sum += weight;
    alongArm += weight * turnS;
    acrossArm += weight * turnN;
    turning += weight * (turnS * turnS + turnN * turnN);
    es += weight * restS;
    en += weight * restN;
    ea += weight * (turnS * restS + turnN * restN);
    constant += weight * (restS * restS + restN * restN);
  }
  const timeS = marks[0]?.timeS ?? 0;
  return { timeS, weight: sum, alongArm, acrossArm, turning, eta: [es, en, ea], constant };
}
