import { describe, expect, it } from "vitest";
import { rigidPose } from "../../src/shared/kinematics/rigid-pose.ts";
import { unwrap } from "../../src/shared/quantity/result.ts";

/**
 * Kabsch, Acta Cryst. A32:922 (1976) and Söderkvist & Wedin, J. Biomech. 26:1473 (1993): the weighted pose. Reference figures of an
 * invented four-point body from scipy 1.10: Rotation.align_vectors in the plane z = 0, and least_squares for the covariance.
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

  it("refuses one point, and points on one spot, and throws on a u of 0", () => {
    const one = { body: [0, 0], seen: [1, 1], u: 1e-3 } as const;
    expect(rigidPose([one])).toEqual({ ok: false, code: "too-few", numbers: { points: 1, needed: 2 } });
    expect(rigidPose([one, one])).toMatchObject({ ok: false, code: "coincident" });
    expect(() => rigidPose([one, { ...one, u: 0 }])).toThrow(/u > 0/);
  });
});
