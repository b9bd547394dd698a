import type { Pair } from "./homography-map.ts";

/** Coefficients of the lens: radial k1, k2, k3 and tangential p1, p2. */
export interface Distortion {
  readonly k1: number;
  readonly k2: number;
  readonly k3: number;
  readonly p1: number;
  readonly p2: number;
}

/**
 * Where a straight-line camera would see [x, y] (offsets from the centre over the focal length),
 * this lens sees x_d = x (1 + k1 r² + k2 r⁴ + k3 r⁶) + 2 p1 x y + p2 (r² + 2x²), y_d = y (...) +
 * p1 (r² + 2y²) + 2 p2 x y.
 * Sources: Conrady, MNRAS 79:384 (1919); Brown, Photogrammetric Engineering 32:444 (1966) and 37:855 (1971).
 */
export function bent({ k1, k2, k3, p1, p2 }: Distortion, [x, y]: Pair): Pair {
  const r2 = x * x + y * y;
  const f = 1 + r2 * (k1 + r2 * (k2 + r2 * k3));
  return [x * f + 2 * p1 * x * y + p2 * (r2 + 2 * x * x), y * f + p1 * (r2 + 2 * y * y) + 2 * p2 * x * y];
}

/** d(bent)/d(straight): the symmetric matrix [xx, xy, yy]. */
export function bentByStraight(
  { k1, k2, k3, p1, p2 }: Distortion,
  [x, y]: Pair,
): readonly [number, number, number] {
  const r2 = x * x + y * y;
  const f = 1 + r2 * (k1 + r2 * (k2 + r2 * k3));
  const slope = k1 + r2 * (2 * k2 + r2 * 3 * k3); // df/d(r²)
  return [
    f + 2 * x * x * slope + 2 * p1 * y + 6 * p2 * x,
    2 * x * y * slope + 2 * p1 * x + 2 * p2 * y,
    f + 2 * y * y * slope + 6 * p1 * y + 2 * p2 * x,
  ];
}

/** d(bent)/d(k1, k2, k3, p1, p2): [2*5] row by row. */
export function bentByTerms([x, y]: Pair): readonly number[] {
  const r2 = x * x + y * y;
  const r4 = r2 * r2;
  const r6 = r4 * r2;
  return [
    x * r2,
    x * r4,
    x * r6,
    2 * x * y,
    r2 + 2 * x * x,
    y * r2,
    y * r4,
    y * r6,
    r2 + 2 * y * y,
    2 * x * y,
  ];
}

const MOST_STEPS = 100;
const RIGHT = 1e-14; // the rounding of normalised coordinates near 1; well inside the 1e-12 that is promised

/**
 * The inverse of `bent` by Newton's method, halving steps that do not bring it nearer;
 * starts from the point itself.
 * @returns [x, y] to 1e-12; null when the lens model reaches no such place or folds over on the way
 */
export function straightened(lens: Distortion, seen: Pair): Pair | null {
  let at = seen;
  let [ex, ey] = errorAt(lens, at, seen);
  let error = Math.hypot(ex, ey);
  for (let step = 0; step < MOST_STEPS; step++) {
    const [a, b, c] = bentByStraight(lens, at);
    const det = a * c - b * b;
    if (!(det > 0) || !(a + c > 0)) return null;
    if (error <= RIGHT) return at;
    const dx = (c * ex - b * ey) / det;
    const dy = (a * ey - b * ex) / det;
    let share = 1;
    let moved = false;
    while (share > 1e-3 && !moved) {
      const next = [at[0] - share * dx, at[1] - share * dy] as const;
      const [nx, ny] = errorAt(lens, next, seen);
      const left = Math.hypot(nx, ny);
      if (left < error) {
        at = next;
        [ex, ey, error] = [nx, ny, left];
        moved = true;
      } else {
        share /= 2;
      }
    }
    // No step helps: at the rounding, or stuck.
    if (!moved) return error < 1e-13 * (1 + Math.hypot(seen[0], seen[1])) ? at : null;
  }
  return null;
}

function errorAt(lens: Distortion, at: Pair, seen: Pair): Pair {
  const [x, y] = bent(lens, at);
  return [x - seen[0], y - seen[1]];
}

/**
 * Distance from the centre, seen, beyond which the radial part folds over (r (1 + k1 r² + ...) no longer
 * grows), looking out to a straight distance of `upTo`.
 * @returns the seen distance at the fold, over the focal length; null when there is none
 */
export function foldRadius({ k1, k2, k3 }: Distortion, upTo: number): number | null {
  const growth = (r: number) => {
    const r2 = r * r;
    return 1 + r2 * (3 * k1 + r2 * (5 * k2 + r2 * 7 * k3));
  };
  const steps = 400; // the growth is a cubic in r²: it does not hide a root pair wider than this
  for (let i = 1; i <= steps; i++) {
    const r = (upTo * i) / steps;
    if (growth(r) <= 0) return bent({ k1, k2, k3, p1: 0, p2: 0 }, [r, 0])[0];
  }
  return null;
}
