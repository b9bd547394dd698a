import { singularValues } from "../numeric/singular-values.ts";
import type { Homography8, Pair } from "./homography-map.ts";

/** Pose of a board before the camera: rotation vector (rad) and translation (m), board to camera; [6]. */
export type BoardPose = ArrayLike<number>;

/**
 * Rotation matrix [3*3] row by row of a rotation vector. Source: Rodrigues, J. Math.
 * Pures Appl. 5:380 (1840).
 */
export function rotationOf(x: number, y: number, z: number): number[] {
  const angle = Math.hypot(x, y, z);
  // sin(a)/a and (1 - cos a)/a² by series near 0, where the quotients lose their digits
  const s = angle < 1e-4 ? 1 - angle ** 2 / 6 : Math.sin(angle) / angle;
  const c = angle < 1e-4 ? 0.5 - angle ** 2 / 24 : (1 - Math.cos(angle)) / angle ** 2;
  return [
    1 - c * (y * y + z * z),
    c * x * y - s * z,
    c * x * z + s * y,
    c * x * y + s * z,
    1 - c * (x * x + z * z),
    c * y * z - s * x,
    c * x * z - s * y,
    c * y * z + s * x,
    1 - c * (x * x + y * y),
  ];
}

/** Rotation vector of a rotation matrix, by the quaternion of its largest component. */
export function rotationVectorOf(r: ArrayLike<number>): [number, number, number] {
  const [xx, yy, zz] = [r[0], r[4], r[8]];
  const squares = [1 + xx + yy + zz, 1 + xx - yy - zz, 1 - xx + yy - zz, 1 - xx - yy + zz];
  const k = squares.indexOf(Math.max(...squares));
  const q = Math.sqrt(squares[k]) / 2;
  const [a, b, c] = [(r[7] - r[5]) / (4 * q), (r[2] - r[6]) / (4 * q), (r[3] - r[1]) / (4 * q)];
  const [d, e, f] = [(r[1] + r[3]) / (4 * q), (r[2] + r[6]) / (4 * q), (r[5] + r[7]) / (4 * q)];
  const quaternion = [
    [q, a, b, c],
    [a, q, d, e],
    [b, d, q, f],
    [c, e, f, q],
  ][k] as [number, number, number, number];
  const [w, x, y, z] = quaternion[0] < 0 ? quaternion.map((v) => -v) : quaternion;
  const sine = Math.hypot(x, y, z);
  const factor = sine < 1e-12 ? 2 : (2 * Math.atan2(sine, w)) / sine;
  return [factor * x, factor * y, factor * z];
}

/** Place of a board point before the camera over its depth; null when it is behind. */
export function viewed(rotation: readonly number[], t: Pair3, [x, y]: Pair): Pair | null {
  const depth = rotation[6] * x + rotation[7] * y + t[2];
  if (!(depth > 0)) return null;
  return [
    (rotation[0] * x + rotation[1] * y + t[0]) / depth,
    (rotation[3] * x + rotation[4] * y + t[1]) / depth,
  ];
}

export type Pair3 = readonly [number, number, number];

/**
 * 1/f² from the homographies of boards (board metres -> px from the centre): with columns a, b of diag(1/f,
 * 1/f, 1) H at right angles and of one length, (a₁b₁ + a₂b₂) w + a₃b₃ = 0 and (a₁² + a₂² - b₁² - b₂²) w + a₃²
 * - b₃² = 0, solved by least squares.
 * Source: Zhang, IEEE PAMI 22:1330 (2000), with square pixels and the centre known.
 * @returns f, px; null when the boards show no perspective to tell it by
 */
export function focalFromHomographies(homographies: readonly Homography8[]): number | null {
  let [top, bottom] = [0, 0];
  for (const h of homographies) {
    // Every homography has the same weight: its scale is taken out.
    const size = Math.hypot(h[0], h[3], h[1], h[4]);
    const [a1, a2, a3] = [h[0] / size, h[3] / size, h[6] / size];
    const [b1, b2, b3] = [h[1] / size, h[4] / size, h[7] / size];
    for (const [p, q] of [
      [a1 * b1 + a2 * b2, a3 * b3],
      [a1 * a1 + a2 * a2 - b1 * b1 - b2 * b2, a3 * a3 - b3 * b3],
    ] as const) {
      top -= p * q;
      bottom += q * q;
    }
  }
  // w = 1/f² from p w + q = 0, in the form q f² + p = 0, which keeps its digits when q is small:
  // f² = -sum(p q)/sum(q q).
  return bottom > 0 && top / bottom > 0 ? Math.sqrt(top / bottom) : null;
}

/**
 * Pose from the homography of a board (board metres -> px from the centre) and f. Source: Zhang (2000), 3.1.
 */
export function poseFromHomography(h: Homography8, focalPx: number): number[] {
  const [a, b, t] = [
    [h[0] / focalPx, h[3] / focalPx, h[6]],
    [h[1] / focalPx, h[4] / focalPx, h[7]],
    [h[2] / focalPx, h[5] / focalPx, 1],
  ] as [number[], number[], number[]];
  const size = 2 / (Math.hypot(...a) + Math.hypot(...b));
  const [r1, r2] = [a.map((v) => v * size), b.map((v) => v * size)] as [number[], number[]];
  const r3 = [r1[1] * r2[2] - r1[2] * r2[1], r1[2] * r2[0] - r1[0] * r2[2], r1[0] * r2[1] - r1[1] * r2[0]];
  // Nearest rotation: U Vᵀ of the columns.
  const { u, v } = singularValues(
    Float64Array.of(r1[0], r2[0], r3[0], r1[1], r2[1], r3[1], r1[2], r2[2], r3[2]),
    3,
    3,
  );
  const rotation = Array.from({ length: 9 }, (_, i) => {
    const [row, column] = [Math.floor(i / 3), i % 3];
    return (
      u[3 * row] * v[3 * column] + u[3 * row + 1] * v[3 * column + 1] + u[3 * row + 2] * v[3 * column + 2]
    );
  });
  return [...rotationVectorOf(rotation), ...t.map((value) => value * size)];
}
