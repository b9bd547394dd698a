import { ok, type Result, refuse } from "../quantity/result.ts";

/**
 * One point of a rigid body: where it is on the body, where it was seen, and the standard uncertainty
 * of each seen coordinate.
 */
export interface PosePoint {
  readonly body: readonly [number, number];
  readonly seen: readonly [number, number];
  readonly u: number;
}

/**
 * Pose of a rigid body in the plane: seen = t + R(angle) body. Covariances are of
 * (tx, ty, angle), row by row.
 */
export interface RigidPose {
  readonly x: number;
  readonly y: number;
  readonly angleRad: number;
  readonly covariance: readonly (readonly [number, number, number])[];
  /** Sum of squared residuals over u², with 2n - 3 degrees of freedom. */
  readonly chi2: number;
  readonly dof: number;
}

/**
 * Weighted least-squares pose from n >= 2 points: with weighted centroids removed (A, B), w = 1/u²,
 * angle = atan2(sum w (Ax By - Ay Bx), sum w (A . B)), t = b̄ - R ā; var angle = 1 / sum w |A|².
 * Sources: Kabsch, Acta Cryst. A32:922 (1976); Umeyama, IEEE PAMI 13:376 (1991); Söderkvist & Wedin, J.
 * Biomech. 26:1473 (1993).
 * @returns the pose; "too-few" below two points; "coincident" when the points do not spread on the body
 * @throws RangeError when a number is not finite or a u is not > 0
 */
export function rigidPose(points: readonly PosePoint[]): Result<RigidPose, "too-few" | "coincident"> {
  for (const { body, seen, u } of points) {
    if (![...body, ...seen].every(Number.isFinite) || !(u > 0)) {
      throw new RangeError(`rigidPose: need finite coordinates and u > 0; got ${body}, ${seen}, ${u}`);
    }
  }
  if (points.length < 2) return refuse("too-few", { points: points.length, needed: 2 });
  let [w, ax, ay, bx, by] = [0, 0, 0, 0, 0];
  for (const { body, seen, u } of points) {
    const weight = 1 / (u * u);
    w += weight;
    ax += weight * body[0];
    ay += weight * body[1];
    bx += weight * seen[0];
    by += weight * seen[1];
  }
  ax /= w;
  ay /= w;
  bx /= w;
  by /= w;
  let [cross, dot, spread] = [0, 0, 0];
  for (const { body, seen, u } of points) {
    const weight = 1 / (u * u);
    const [px, py] = [body[0] - ax, body[1] - ay];
    const [qx, qy] = [seen[0] - bx, seen[1] - by];
    cross += weight * (px * qy - py * qx);
    dot += weight * (px * qx + py * qy);
    spread += weight * (px * px + py * py);
  }
  if (!(spread > 0)) return refuse("coincident", { spread });
  const angleRad = Math.atan2(cross, dot);
  const [cos, sin] = [Math.cos(angleRad), Math.sin(angleRad)];
  const x = bx - (cos * ax - sin * ay);
  const y = by - (sin * ax + cos * ay);
  let chi2 = 0;
  for (const { body, seen, u } of points) {
    const dx = seen[0] - (x + cos * body[0] - sin * body[1]);
    const dy = seen[1] - (y + sin * body[0] + cos * body[1]);
    chi2 += (dx * dx + dy * dy) / (u * u);
  }
  // t = b̄ - R ā: turning by d(angle) about the centroid moves t by -J R ā d(angle).
  const varAngle = 1 / spread;
  const gx = sin * ax + cos * ay;
  const gy = -(cos * ax - sin * ay);
  const covariance = [
    [1 / w + varAngle * gx * gx, varAngle * gx * gy, varAngle * gx],
    [varAngle * gx * gy, 1 / w + varAngle * gy * gy, varAngle * gy],
    [varAngle * gx, varAngle * gy, varAngle],
  ] as const;
  return ok({ x, y, angleRad, covariance, chi2, dof: 2 * points.length - 3 });
}
