import { boxAround, type GreyImage } from "../follow/grey-image.ts";
import { type CubicSpline, cubicSpline, isInside, sampleAt, valueAt } from "../numeric/cubic-spline.ts";

/** A place about which a picture looks the same turned by half a turn. */
export interface SymmetricCentre {
  /** Samples. */
  readonly x: number;
  readonly y: number;
  /** Standard uncertainty of each coordinate, px: the looser direction's. */
  readonly uPx: number;
  /** Correlation of the disc with itself turned by half a turn, and by a quarter, -1 to 1. */
  readonly likeHalfTurn: number;
  readonly likeQuarterTurn: number;
}

const MOST_STEPS = 12;
const SETTLED_PX = 2e-3;
const SPLINE_EDGE = 14; // samples about the disc that its spline is made from: its edge then does not show
/**
 * Of the variance: errors of neighbouring pixels go together, after the sensor's and the coder's filters, so
 * that a patch of two by two counts as one.
 */
const CORRELATED = 4;
/** px: what coding moves an edge by; no place is better than that. As the follower's floor. */
const LEAST_U_PX = 0.036;

/**
 * The centre of half-turn symmetry nearest to a place: least squares of I(c + d) - I(c - d) over half a
 * disc, by Gauss-Newton. Blur and scale that are even leave it where it is; so do gain and bias. Source of
 * u: JCGM 100:2008, F.2.4.5, the covariance of a least-squares fit by its own residuals.
 * @param radius samples, of the disc
 * @returns null when the disc leaves the picture, nothing there fixes a centre, or it runs away by a third
 * of the disc
 */
export function symmetricCentre(
  image: GreyImage,
  [startX, startY]: readonly [number, number],
  radius: number,
): SymmetricCentre | null {
  const box = boxAround(image, [startX, startY], radius + SPLINE_EDGE);
  if (box === null) return null;
  const spline = cubicSpline(image, box);
  const offsets = halfDisc(radius);
  const most = Math.max(2, radius / 3);
  let [x, y] = [startX, startY];
  for (let step = 0; step < MOST_STEPS; step++) {
    const normal = normalAt(spline, x, y, offsets);
    if (normal === null) return null;
    const { xx, xy, yy, rx, ry, squares } = normal;
    const det = xx * yy - xy * xy;
    if (!(det > 1e-9 * xx * yy) || xx <= 0 || yy <= 0) return null;
    const dx = -(yy * rx - xy * ry) / det;
    const dy = -(xx * ry - xy * rx) / det;
    x += Math.max(-1, Math.min(1, dx));
    y += Math.max(-1, Math.min(1, dy));
    if (Math.hypot(x - startX, y - startY) > most) return null;
    if (Math.hypot(dx, dy) > SETTLED_PX) continue;
    const variance = (CORRELATED * squares) / Math.max(1, offsets.length - 2);
    const looser = (xx + yy) / 2 - Math.hypot((xx - yy) / 2, xy);
    const likes = likeTurned(spline, x, y, offsets);
    if (likes === null) return null;
    return { x, y, uPx: Math.max(LEAST_U_PX, Math.sqrt(variance / looser)), ...likes };
  }
  return null;
}

function halfDisc(radius: number): readonly (readonly [number, number])[] {
  const offsets: (readonly [number, number])[] = [];
  for (let b = 0; b <= radius; b++) {
    for (let a = -radius; a <= radius; a++) {
      if (a * a + b * b <= radius * radius && (b > 0 || a > 0)) offsets.push([a, b]);
    }
  }
  return offsets;
}

function normalAt(
  spline: CubicSpline,
  x: number,
  y: number,
  offsets: readonly (readonly [number, number])[],
) {
  let [xx, xy, yy, rx, ry, squares] = [0, 0, 0, 0, 0, 0];
  for (const [a, b] of offsets) {
    if (!isInside(spline, x + a, y + b) || !isInside(spline, x - a, y - b)) return null;
    const one = sampleAt(spline, x + a, y + b);
    const other = sampleAt(spline, x - a, y - b);
    const r = one.value - other.value;
    const [gx, gy] = [one.dx - other.dx, one.dy - other.dy];
    xx += gx * gx;
    xy += gx * gy;
    yy += gy * gy;
    rx += gx * r;
    ry += gy * r;
    squares += r * r;
  }
  return { xx, xy, yy, rx, ry, squares };
}

function likeTurned(
  spline: CubicSpline,
  x: number,
  y: number,
  offsets: readonly (readonly [number, number])[],
): Pick<SymmetricCentre, "likeHalfTurn" | "likeQuarterTurn"> | null {
  const [here, half, quarter]: [number[], number[], number[]] = [[], [], []];
  for (const [a, b] of offsets) {
    if (!isInside(spline, x - b, y + a)) return null;
    here.push(valueAt(spline, x + a, y + b));
    half.push(valueAt(spline, x - a, y - b));
    quarter.push(valueAt(spline, x - b, y + a));
  }
  return { likeHalfTurn: likeness(here, half), likeQuarterTurn: likeness(here, quarter) };
}

function likeness(a: readonly number[], b: readonly number[]): number {
  const n = a.length;
  const mean = (all: readonly number[]) => all.reduce((sum, one) => sum + one, 0) / n;
  const [ma, mb] = [mean(a), mean(b)];
  let [aa, ab, bb] = [0, 0, 0];
  a.forEach((one, i) => {
    const [p, q] = [one - ma, b[i] - mb];
    aa += p * p;
    ab += p * q;
    bb += q * q;
  });
  return aa > 0 && bb > 0 ? ab / Math.sqrt(aa * bb) : 0;
}
