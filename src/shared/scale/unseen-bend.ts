import type { Measured } from "../quantity/measured.ts";
import type { PxPoint } from "../quantity/point.ts";
import { fittedPlane, type KnownPoint } from "./plane-homography.ts";

/** What a bend is about, and the distance from there at which it is counted. */
export interface BendAbout {
  readonly centrePx: PxPoint;
  /** px, commonly half of the picture's diagonal. */
  readonly radiusPx: number;
}

/**
 * A place of a picture with a radial bend of first order taken out: p + k (r/R)² (p - c), so that k is the
 * share by which a place at the radius moves outwards.
 */
export function straightened({ centrePx, radiusPx }: BendAbout, k: number, [x, y]: PxPoint): PxPoint {
  const [dx, dy] = [(x - centrePx[0]) / radiusPx, (y - centrePx[1]) / radiusPx];
  const by = k * (dx ** 2 + dy ** 2) * radiusPx;
  return [x + by * dx, y + by * dy];
}

/** What known points say of a bend that the map from them leaves out. */
export interface SeenBend {
  /** k of straightened. */
  readonly k: Measured;
  /** What the plane leaves of the points once this bend is taken out. */
  readonly chiSquare: number;
  readonly degreesOfFreedom: number;
}

const FIRST_STEP = 0.005; // a few pixels at the corner of a common picture
const LARGEST = 0.3; // beyond this it is another kind of lens
const ROUNDS = 4; // Newton steps: chi-square is all but quadratic in k

/**
 * The bend that known points of a plane show: least chi-square of the homography over k, its u from the
 * curvature, u² = 2/chi²''. Source: JCGM 100:2008, 5.1.2, for a fit with one unknown more.
 * @returns null with fewer than five points, which leave no degree of freedom for it, and where the points do
 *   not determine it
 */
export function seenBend(points: readonly KnownPoint[], about: BendAbout): SeenBend | null {
  const degreesOfFreedom = 2 * points.length - 9;
  if (degreesOfFreedom < 1) return null;
  const chiSquareAt = (k: number): number => {
    const plane = fittedPlane(points.map((one) => ({ ...one, px: straightened(about, k, one.px) })));
    return plane.ok ? plane.value.agreement.chiSquare : Number.NaN;
  };
  let [k, step] = [0, FIRST_STEP];
  let second = Number.NaN;
  for (let round = 0; round < ROUNDS; round++) {
    const [below, here, above] = [chiSquareAt(k - step), chiSquareAt(k), chiSquareAt(k + step)];
    second = (above - 2 * here + below) / step ** 2;
    if (!(second > 0)) return null;
    const next = k - (above - below) / (2 * step * second);
    if (!(Math.abs(next) <= LARGEST)) return null;
    const moved = Math.abs(next - k);
    k = next;
    // The slope is taken over what k is uncertain by, where rounding has no say.
    step = Math.min(FIRST_STEP, Math.sqrt(2 / second));
    if (moved < 1e-3 * step) break;
  }
  const chiSquare = chiSquareAt(k);
  if (!Number.isFinite(chiSquare)) return null;
  return { k: { value: k, u: Math.sqrt(2 / second) }, chiSquare, degreesOfFreedom };
}

/**
 * Root mean square of a bend that is left out, by what the points show of it and by what is known of lenses:
 * sqrt(m² + v), mean m = k p²/(p² + u²) and variance v = p² u²/(p² + u²), p the larger of `usualU` and of
 * what k shows beyond its own u. Source: normal prior and normal likelihood.
 * @param seen null when the points say nothing
 * @param usualU standard deviation of k over cameras like this one; 0 where the lens is known
 */
export function bendLeftOut(seen: Measured | null, usualU: number): number {
  if (seen === null) return usualU;
  const prior = Math.max(usualU ** 2, seen.value ** 2 - seen.u ** 2);
  if (prior === 0) return 0;
  const share = prior / (prior + seen.u ** 2);
  return Math.sqrt((share * seen.value) ** 2 + share * seen.u ** 2);
}
