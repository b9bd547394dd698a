import { describe, expect, it } from "vitest";
import { type RigidPose, rigidPose } from "../../src/shared/kinematics/rigid-pose.ts";
import { localPolynomialWeights } from "../../src/shared/numeric/local-polynomial.ts";
import { createChance } from "../../src/shared/quantity/chance.ts";
import { unwrap } from "../../src/shared/quantity/result.ts";

/**
 * Kabsch, Acta Cryst. A32:922 (1976) and Söderkvist & Wedin, J. Biomech. 26:1473 (1993): the weighted pose.
 * Reference figures of an invented four-point body from scipy 1.10: Rotation.align_vectors in the plane
 * z = 0, and least_squares for the covariance (tools/reference/rigid_pose.py).
 */
const BODY = [
  [0, 0],
  [0.3, 0.02],
  [0.62, -0.01],
  [0.45, 0.12],
] as const;
const ERRORS_MM = [
  [0.6, -0.4],
  [-0.8, 0.5],
  [0.3, 0.7],
  [-0.2, -0.9],
] as const;
const TURN = (12.5 * Math.PI) / 180;
const SEEN = BODY.map(([x, y], i) => {
  const [ex, ey] = ERRORS_MM[i]!;
  return [
    1.2 + Math.cos(TURN) * x - Math.sin(TURN) * y + ex / 1000,
    0.35 + Math.sin(TURN) * x + Math.cos(TURN) * y + ey / 1000,
  ] as const;
});
const points = (u: readonly number[]) => BODY.map((body, i) => ({ body, seen: SEEN[i]!, u: u[i]! }));
const degrees = (rad: number) => (rad * 180) / Math.PI;

describe("rigidPose", () => {
  it("agrees with align_vectors for equal weights", () => {
    const pose = unwrap(rigidPose(points([1, 1, 1, 1])));
    expect(degrees(pose.angleRad)).toBeCloseTo(12.576879805246, 10);
    expect(pose.x).toBeCloseTo(1.2001173384489894, 12);
    expect(pose.y).toBeCloseTo(0.3495358592216882, 12);
    expect(pose.chi2).toBeCloseTo(2.442146236393503e-6, 16);
    expect(pose.covariance[2]![2]).toBeCloseTo(1 / 0.21835, 10);
  });

  it("agrees with least_squares for unequal weights, covariance included", () => {
    const pose = unwrap(rigidPose(points([0.5e-3, 1e-3, 0.5e-3, 2e-3])));
    expect(degrees(pose.angleRad)).toBeCloseTo(12.6045925297, 9);
    expect(pose.x).toBeCloseTo(1.2004232833, 9);
    expect(pose.y).toBeCloseTo(0.3496026987, 9);
    expect(pose.chi2).toBeCloseTo(1.857121461, 8);
    expect(pose.dof).toBe(5);
    expect(Math.sqrt(pose.covariance[2]![2]) * 1e3).toBeCloseTo(1.13364286, 7);
    expect(Math.sqrt(pose.covariance[0]![0]) * 1e3).toBeCloseTo(0.33805155, 6);
    expect(Math.sqrt(pose.covariance[1]![1]) * 1e3).toBeCloseTo(0.47707891, 6);
  });

  it("gives sqrt(2) u / d for two points d apart", () => {
    const pose = unwrap(
      rigidPose([
        { body: [0.4, 0], seen: [1.4, 2], u: 0.5e-3 },
        { body: [0, 0], seen: [1, 2], u: 0.5e-3 },
      ]),
    );
    expect(pose.angleRad).toBe(0);
    expect(Math.sqrt(pose.covariance[2]![2]) * 1e3).toBeCloseTo(1.76776695, 7);
  });

  const noise = 0.5e-3;
  const exactly = BODY.map(([x, y]) => ({
    body: [x, y] as const,
    seen: [
      1.2 + Math.cos(TURN) * x - Math.sin(TURN) * y,
      0.35 + Math.sin(TURN) * x + Math.cos(TURN) * y,
    ] as const,
    u: noise,
  }));
  /** sd of x and y, mm, of the point (0.9, 0) m of the body, from the covariance of the pose. */
  const pointSd = (pose: RigidPose): readonly number[] => {
    const [sin, cos] = [Math.sin(pose.angleRad), Math.cos(pose.angleRad)];
    const rows = [
      [1, 0, -0.9 * sin],
      [0, 1, 0.9 * cos],
    ];
    return rows.map(
      (row) =>
        1e3 *
        Math.sqrt(
          row.reduce(
            (sum, ri, i) => sum + row.reduce((s, rj, j) => s + ri * pose.covariance[i]![j]! * rj, 0),
            0,
          ),
        ),
    );
  };

  it("is good to 1.07002372 mrad and, at (0.9, 0) m, to 0.26749955 and 0.64071148 mm with four marks of 0.5 mm", () => {
    const pose = unwrap(rigidPose(exactly));
    expect(1e3 * Math.sqrt(pose.covariance[2]![2])).toBeCloseTo(1.07002372, 8);
    const [x, y] = pointSd(pose);
    expect(x).toBeCloseTo(0.26749955, 8);
    expect(y).toBeCloseTo(0.64071148, 8);
  });

  it("scatters by that much in 4000 seeded poses, to 3.5 %, three standard errors of a sample sd", () => {
    const chance = createChance(7);
    const found = Array.from({ length: 4000 }, () => {
      const moved = exactly.map((point) => ({
        ...point,
        seen: [point.seen[0] + noise * chance.normal(), point.seen[1] + noise * chance.normal()] as const,
      }));
      const { x, y, angleRad } = unwrap(rigidPose(moved));
      return [1e3 * angleRad, 1e3 * (x + 0.9 * Math.cos(angleRad)), 1e3 * (y + 0.9 * Math.sin(angleRad))];
    });
    [1.07002372, 0.26749955, 0.64071148].forEach((sd, k) => {
      const mean = found.reduce((sum, one) => sum + one[k]!, 0) / found.length;
      const spread = Math.sqrt(found.reduce((sum, one) => sum + (one[k]! - mean) ** 2, 0) / found.length);
      expect(Math.abs(spread / sd - 1)).toBeLessThan(0.035);
    });
  });

  it("of n marks spread evenly over L has Σr² = L² n(n + 1)/(12(n - 1)); a third mark in the middle adds nothing to the angle", () => {
    const angleU = (n: number) => {
      const along = Array.from({ length: n }, (_, i) => (0.8 * i) / (n - 1));
      const pose = unwrap(
        rigidPose(along.map((x) => ({ body: [x, 0] as const, seen: [x, 0] as const, u: noise }))),
      );
      return Math.sqrt(pose.covariance[2]![2]);
    };
    for (const n of [2, 3, 4, 5, 9]) {
      expect(angleU(n)).toBeCloseTo(noise / (0.8 * Math.sqrt((n * (n + 1)) / (12 * (n - 1)))), 12);
    }
    expect(angleU(3)).toBeCloseTo(angleU(2), 15);
  });

  it("good to 1.25 mrad a frame gives a pitch rate good to 0.05720776 rad/s over 11 frames at 480 frames/s", () => {
    const weights = localPolynomialWeights(11, 2, 1, 5);
    const rate = 1.25e-3 * 480 * Math.sqrt(weights.reduce((sum, c) => sum + c * c, 0));
    expect(rate).toBeCloseTo(0.05720776, 8);
  });

  it("refuses one point, and points on one spot, and throws on a u of 0", () => {
    const one = { body: [0, 0], seen: [1, 1], u: 1e-3 } as const;
    expect(rigidPose([one])).toEqual({ ok: false, code: "too-few", numbers: { points: 1, needed: 2 } });
    expect(rigidPose([one, one])).toMatchObject({ ok: false, code: "coincident" });
    expect(() => rigidPose([one, { ...one, u: 0 }])).toThrow(/u > 0/);
  });
});
