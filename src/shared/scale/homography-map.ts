import { singularValues } from "../numeric/singular-values.ts";

/** Points of the plane or the picture as pairs. */
export type Pair = readonly [number, number];

/** A homography as h11 h12 h13 h21 h22 h23 h31 h32, with h33 = 1. */
export type Homography8 = ArrayLike<number>;

/** Shift and one scale that bring points to centroid 0 and mean distance sqrt(2): n = scale (p - centre). */
export interface Normaliser {
  readonly centre: Pair;
  readonly scale: number;
}

/** Source: Hartley, IEEE PAMI 19:580 (1997): without it the linear solution is poorly conditioned. */
export function normaliserOf(points: readonly Pair[]): Normaliser {
  const mean = (k: 0 | 1) => points.reduce((sum, p) => sum + p[k], 0) / points.length;
  const centre = [mean(0), mean(1)] as const;
  const distance =
    points.reduce((sum, p) => sum + Math.hypot(p[0] - centre[0], p[1] - centre[1]), 0) / points.length;
  return { centre, scale: distance > 0 ? Math.SQRT2 / distance : 1 };
}

export function normalised({ centre, scale }: Normaliser, [x, y]: Pair): Pair {
  return [scale * (x - centre[0]), scale * (y - centre[1])];
}

export function denormalised({ centre, scale }: Normaliser, [x, y]: Pair): Pair {
  return [x / scale + centre[0], y / scale + centre[1]];
}

/** Image of a place; `depth` is the third homogeneous coordinate, positive in front of the camera. */
export function project(h: Homography8, [x, y]: Pair): { readonly at: Pair; readonly depth: number } {
  const depth = h[6] * x + h[7] * y + 1;
  return {
    at: [(h[0] * x + h[1] * y + h[2]) / depth, (h[3] * x + h[4] * y + h[5]) / depth],
    depth,
  };
}

/** Place whose image is (u, v), by Cramer's rule on the two equations linear in the place. */
export function unproject(h: Homography8, [u, v]: Pair): { readonly at: Pair; readonly depth: number } {
  const a = h[0] - u * h[6];
  const b = h[1] - u * h[7];
  const c = h[3] - v * h[6];
  const d = h[4] - v * h[7];
  const e = u - h[2];
  const f = v - h[5];
  const det = a * d - b * c;
  const at = [(e * d - b * f) / det, (a * f - e * c) / det] as const;
  return { at, depth: h[6] * at[0] + h[7] * at[1] + 1 };
}

/** d(image)/d(place), [2*2] row by row. */
export function byPlace(h: Homography8, place: Pair): readonly [number, number, number, number] {
  const {
    at: [u, v],
    depth,
  } = project(h, place);
  return [
    (h[0] - u * h[6]) / depth,
    (h[1] - u * h[7]) / depth,
    (h[3] - v * h[6]) / depth,
    (h[4] - v * h[7]) / depth,
  ];
}

/** d(image)/dh, [2*8] row by row. */
export function byHomography(h: Homography8, [x, y]: Pair): Float64Array {
  const {
    at: [u, v],
    depth,
  } = project(h, [x, y]);
  const [xw, yw, one] = [x / depth, y / depth, 1 / depth];
  return Float64Array.of(xw, yw, one, 0, 0, 0, -u * xw, -u * yw, 0, 0, 0, xw, yw, one, -v * xw, -v * yw);
}

/**
 * Direct linear transform for normalised points: the right singular vector of the least singular
 * value of the 2n*9 system.
 * Source: Hartley & Zisserman, Multiple View Geometry, 2nd ed. (2004), alg. 4.2.
 * @returns h with h33 = 1; null when the points leave more than one homography, or the place
 *   (0, 0) is on the horizon
 */
export function directLinear(places: readonly Pair[], images: readonly Pair[]): Float64Array | null {
  const rows = Math.max(9, 2 * places.length);
  const a = new Float64Array(rows * 9);
  places.forEach(([x, y], i) => {
    const [u, v] = images[i];
    a.set([-x, -y, -1, 0, 0, 0, u * x, u * y, u], 18 * i);
    a.set([0, 0, 0, -x, -y, -1, v * x, v * y, v], 18 * i + 9);
  });
  const { s, v } = singularValues(a, rows, 9);
  if (s[7] < 1e-10 * s[0]) return null;
  const h = Float64Array.from({ length: 9 }, (_, i) => v[i * 9 + 8]);
  const last = h[8];
  if (Math.abs(last) < 1e-12) return null;
  return h.subarray(0, 8).map((value) => value / last);
}

/**
 * H = T2⁻¹ Hn T1 as nine numbers row by row, for a 3*3 in normalised points (not divided by its last entry).
 */
export function denormalisedMatrix(
  hn: ArrayLike<number>,
  places: Normaliser,
  images: Normaliser,
): Float64Array {
  const out = new Float64Array(9);
  for (let row = 0; row < 3; row++) {
    // T2⁻¹ = [[1/s, 0, cx], [0, 1/s, cy], [0, 0, 1]]
    const own = row < 2 ? 1 / images.scale : 1;
    const shift = row < 2 ? images.centre[row] : 0;
    const [a, b, c] = [0, 1, 2].map((k) => own * hn[row * 3 + k] + shift * hn[6 + k]) as [
      number,
      number,
      number,
    ];
    // T1 = [[s, 0, -s cx], [0, s, -s cy], [0, 0, 1]]
    out[row * 3] = a * places.scale;
    out[row * 3 + 1] = b * places.scale;
    out[row * 3 + 2] = c - places.scale * (a * places.centre[0] + b * places.centre[1]);
  }
  return out;
}
