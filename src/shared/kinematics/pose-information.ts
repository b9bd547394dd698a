import type { BodyShape, FrameMarks } from "./body-shape.ts";
import { lasting, type MarkNoise, WHITE_NOISE } from "./mark-noise.ts";
import type { PoseInformation } from "./normal-equations.ts";

/**
 * Turns the marks of one frame into a quadratic form in the pose (s, n, angle), linearised in the angle about
 * `angleRad`: seen ~ c + R0 b + (angle - angle0) J R0 b. One mark gives a form of rank 2: it still counts.
 * What all marks of the frame have in common, a variance c of its place, takes from the form Λ in each
 * direction Λe c eᵀΛ / (1 + c eᵀΛe) (Woodbury's identity).
 * @param directionRad launch direction above the horizontal; s is along it, n across it, upwards
 */
export function poseInformation(
  marks: FrameMarks,
  shape: BodyShape,
  angleRad: number,
  directionRad: number,
  noise: MarkNoise = WHITE_NOISE,
): PoseInformation {
  const [cosP, sinP] = [Math.cos(angleRad), Math.sin(angleRad)];
  const [cosD, sinD] = [Math.cos(directionRad), Math.sin(directionRad)];
  const longer = lasting(noise.lag);
  const [along, across] = [1 / (noise.along * longer), 1 / (noise.across * longer)];
  let [weight, weightN, alongArm, acrossArm, turning, es, en, ea, constant] = [0, 0, 0, 0, 0, 0, 0, 0, 0];
  for (const { point, x, y, u } of marks) {
    const body = shape.get(point);
    if (body === undefined) continue;
    const [ws, wn] = [along / (u * u), across / (u * u)];
    const armX = cosP * body[0] - sinP * body[1];
    const armY = sinP * body[0] + cosP * body[1];
    // in (s, n): the arm, its derivative J arm, and what is left of the seen place
    const [armS, armN] = [cosD * armX + sinD * armY, -sinD * armX + cosD * armY];
    const [turnS, turnN] = [-armN, armS];
    const restS = cosD * x + sinD * y - armS + angleRad * turnS;
    const restN = -sinD * x + cosD * y - armN + angleRad * turnN;
    weight += ws;
    weightN += wn;
    alongArm += ws * turnS;
    acrossArm += wn * turnN;
    turning += ws * turnS * turnS + wn * turnN * turnN;
    es += ws * restS;
    en += wn * restN;
    ea += ws * turnS * restS + wn * turnN * restN;
    constant += ws * restS * restS + wn * restN * restN;
  }
  const timeS = marks[0]?.timeS ?? 0;
  // of the same size as the marks' own errors once these have been made as large as they count
  const [cs, cn] = noise.common;
  const [keptS, keptN] = [1 / (1 + cs * weight), 1 / (1 + cn * weightN)];
  const [lostS, lostN] = [cs * keptS, cn * keptN];
  return {
    timeS,
    weight: weight * keptS,
    weightAcross: weightN * keptN,
    alongArm: alongArm * keptS,
    acrossArm: acrossArm * keptN,
    turning: turning - lostS * alongArm * alongArm - lostN * acrossArm * acrossArm,
    eta: [es * keptS, en * keptN, ea - lostS * alongArm * es - lostN * acrossArm * en],
    constant: constant - lostS * es * es - lostN * en * en,
  };
}
