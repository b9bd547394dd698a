import { expect, it } from "vitest";
import { poseInformation } from "../../../src/shared/kinematics/pose-information.ts";
import { rigidPose } from "../../../src/shared/kinematics/rigid-pose.ts";
import { unwrap } from "../../../src/shared/quantity/result.ts";

const SHAPE = new Map([
  [0, [0.17, 0.004]],
  [1, [-0.21, 0.004]],
  [2, [-0.05, 0.09]],
] as const);
const MARKS = [
  { point: 0, frame: 0, timeS: 0, x: 1.2, y: 0.51, u: 1e-3 },
  { point: 1, frame: 0, timeS: 0, x: 0.85, y: 0.36, u: 2e-3 },
  { point: 2, frame: 0, timeS: 0, x: 0.965, y: 0.506, u: 1.5e-3 },
];
const DIRECTION = 0.4;

it("has its minimum at the least-squares pose, with the same chi² and the same covariance", () => {
  const points = MARKS.map((m) => ({ body: SHAPE.get(m.point as 0)!, seen: [m.x, m.y] as const, u: m.u }));
  const pose = unwrap(rigidPose(points));
  const { weight, alongArm, acrossArm, turning, eta, constant } = poseInformation(
    MARKS,
    SHAPE,
    pose.angleRad,
    DIRECTION,
  );
  const [cos, sin] = [Math.cos(DIRECTION), Math.sin(DIRECTION)];
  const q = [cos * pose.x + sin * pose.y, -sin * pose.x + cos * pose.y, pose.angleRad] as const;
  const [ss, sn, sa, nn, na, aa] = [weight, 0, alongArm, weight, acrossArm, turning];
  const gradient = [
    ss * q[0] + sn * q[1] + sa * q[2] - eta[0],
    sn * q[0] + nn * q[1] + na * q[2] - eta[1],
    sa * q[0] + na * q[1] + aa * q[2] - eta[2],
  ];
  for (const [i, slope] of gradient.entries()) expect(Math.abs(slope) / Math.abs(eta[i]!)).toBeLessThan(1e-9);
  const chi2 = constant - q[0] * eta[0] - q[1] * eta[1] - q[2] * eta[2];
  expect(chi2).toBeCloseTo(pose.chi2, 6);
  // marginal variance of the angle: aa less what s and n take
  const varAngle = 1 / (aa - (sa * sa * nn - 2 * sa * na * sn + na * na * ss) / (ss * nn - sn * sn));
  expect(varAngle).toBeCloseTo(pose.covariance[2]![2], 12);
});
