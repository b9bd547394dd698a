import { choleskyInPlace } from "../numeric/cholesky.ts";
import { added, type Covariance2, carried } from "../numeric/covariance.ts";
import type { PxPoint } from "../quantity/point.ts";
import { ok, type Result, refuse } from "../quantity/result.ts";
import {
  bent,
  bentByStraight,
  bentByTerms,
  type Distortion,
  foldRadius,
  straightened,
} from "./distortion.ts";
import { UnseenPlaceError } from "./unseen-place.ts";

/** Order of the lens terms in a covariance: px for the first three. */
export const LENS_TERMS = ["focalPx", "centreX", "centreY", "k1", "k2", "k3", "p1", "p2"] as const;

/** What is known of a camera's lens at one picture size and zoom; kept for reuse. */
export interface LensProfile extends Distortion {
  /** px; from lines alone it is a chosen unit of length for the coefficients, not the lens's focal length. */
  readonly focalPx: number;
  readonly centrePx: PxPoint;
  /** [width, height] px of the pictures that it holds for. */
  readonly picturePx: readonly [number, number];
  /** [8*8] row by row in the order of LENS_TERMS; zero where a term was held. */
  readonly covariance: readonly number[];
  readonly madeFrom: {
    readonly by: "lines" | "board" | "person";
    /** px, root mean square left by the fit; 0 when a person entered the numbers. */
    readonly leftPx: number;
    /** Number of marked points used. */
    readonly points: number;
  };
}

/** A lens profile ready for use. */
export interface Lens {
  readonly profile: LensProfile;
  /**
   * Seen px -> px of a straight-line camera with the same centre and focal length.
   * @throws UnseenPlaceError where the model does not reach
   */
  straighten(seen: PxPoint): PxPoint;
  /** The inverse of straighten, good everywhere the picture is. */
  bend(straight: PxPoint): PxPoint;
  /** d(straight)/d(seen) at a seen place, [xx, xy, yx, yy]; symmetric. */
  stretch(seen: PxPoint): readonly [number, number, number, number];
  /**
   * Covariance of a straightened place: `common` from the lens terms (all frames alike),
   * `own` from the mark; px².
   */
  placeCovariance(
    seen: PxPoint,
    markPx: Covariance2,
  ): { readonly common: Covariance2; readonly own: Covariance2; readonly total: Covariance2 };
  /** d(straight)/d(term), [2*8] row by row in the order of LENS_TERMS. */
  byTerms(seen: PxPoint): Float64Array;
  /** The lens moved by L z, C = L Lᵀ, z [8] of independent standard normals; refused as createLens. */
  disturbed(z: ArrayLike<number>): Result<Lens, "folds-inside-picture">;
}

/** Standard uncertainties of the lens terms, [8] in the order of LENS_TERMS. */
export function lensUncertainties(profile: LensProfile): number[] {
  return LENS_TERMS.map((_, k) => Math.sqrt(profile.covariance[9 * k]));
}

/**
 * Makes a profile ready: u = f x_d + c, with the model of `bent`.
 * @returns the lens; or "folds-inside-picture" when the coefficients bend the outer picture back over itself,
 *   with `foldPx` and `cornerPx`, distances from the centre
 * @throws RangeError on numbers that are not finite, a focal length or picture size <= 0, or a
 *   covariance that is not 8*8
 */
export function createLens(profile: LensProfile): Result<Lens, "folds-inside-picture"> {
  const { focalPx: f, centrePx, picturePx, covariance, k1, k2, k3, p1, p2 } = profile;
  const numbers = [f, ...centrePx, ...picturePx, k1, k2, k3, p1, p2];
  const [width, height] = picturePx;
  if (
    !numbers.every(Number.isFinite) ||
    !(f > 0) ||
    !(width > 0) ||
    !(height > 0) ||
    covariance.length !== 64
  ) {
    throw new RangeError(
      `createLens: need finite numbers, f > 0, a picture, 64 covariances; got ${numbers.join(", ")}; ${covariance.length}`,
    );
  }
  const [cx, cy] = centrePx;
  const cornerPx = Math.hypot(Math.max(cx, width - cx), Math.max(cy, height - cy));
  const foldPx = foldInside(profile, cornerPx / f);
  if (foldPx !== null) return refuse("folds-inside-picture", { foldPx: foldPx * f, cornerPx });

  const straightAt = (seen: PxPoint): PxPoint => {
    const at = straightened(profile, [(seen[0] - cx) / f, (seen[1] - cy) / f]);
    if (at === null)
      throw new UnseenPlaceError(seen, `lens: no straight place is seen at ${seen.join(", ")} px`);
    return at;
  };
  const inverse = (at: PxPoint): readonly [number, number, number] => {
    const [a, b, c] = bentByStraight(profile, at);
    const det = a * c - b * b;
    return [c / det, -b / det, a / det];
  };
  const byTerms = (seen: PxPoint): Float64Array => {
    const at = straightAt(seen);
    const [a, b, c] = inverse(at);
    const [xd, yd] = bent(profile, at);
    const t = bentByTerms(at);
    // 0 = f D_x dx + f D_k dk + D df + dc at a fixed seen place; then X = f x + c.
    const columns: (readonly [number, number])[] = [
      [xd / f, yd / f],
      [1 / f, 0],
      [0, 1 / f],
      ...[0, 1, 2, 3, 4].map((k) => [t[k], t[5 + k]] as const),
    ];
    const direct = [
      [at[0], at[1]],
      [1, 0],
      [0, 1],
    ];
    const out = new Float64Array(16);
    columns.forEach(([p, q], k) => {
      out[k] = (direct[k]?.[0] ?? 0) - f * (a * p + b * q);
      out[8 + k] = (direct[k]?.[1] ?? 0) - f * (b * p + c * q);
    });
    return out;
  };
  const stretch = (seen: PxPoint): readonly [number, number, number, number] => {
    const [a, b, c] = inverse(straightAt(seen));
    return [a, b, b, c];
  };
  return ok({
    profile,
    straighten: (seen) => {
      const [x, y] = straightAt(seen);
      return [f * x + cx, f * y + cy];
    },
    bend: (straight) => {
      const [x, y] = bent(profile, [(straight[0] - cx) / f, (straight[1] - cy) / f]);
      return [f * x + cx, f * y + cy];
    },
    stretch,
    placeCovariance: (seen, [xx, xy, yy]) => {
      const common = carried(byTerms(seen), covariance, 8);
      const own = carried(stretch(seen), [xx, xy, xy, yy], 2);
      return { common, own, total: added(common, own) };
    },
    byTerms,
    disturbed: (z) => createLens(moved(profile, z)),
  });
}

/**
 * The seen radius of a fold before the corner is reached; null when there is none. Searches
 * outwards as far as needed.
 */
function foldInside(lens: Distortion, corner: number): number | null {
  for (let upTo = corner; upTo < 64 * corner; upTo *= 1.25) {
    const fold = foldRadius(lens, upTo);
    if (fold !== null) return fold < corner ? fold : null;
    if (bent({ ...lens, p1: 0, p2: 0 }, [upTo, 0])[0] >= corner) return null;
  }
  return null;
}

function moved(profile: LensProfile, z: ArrayLike<number>): LensProfile {
  // Held terms have no variance: factor what is left.
  const used = LENS_TERMS.map((_, k) => k).filter((k) => profile.covariance[9 * k] > 0);
  const n = used.length;
  const factor = Float64Array.from(
    { length: n * n },
    (_, i) => profile.covariance[8 * used[Math.floor(i / n)] + used[i % n]],
  );
  if (n > 0 && choleskyInPlace(factor, n) === null)
    throw new RangeError("lens: the covariance is not positive definite");
  const shift = new Array<number>(8).fill(0);
  used.forEach((term, i) => {
    for (let k = 0; k <= i; k++) shift[term] += factor[i * n + k] * z[used[k]];
  });
  const [df, dx, dy, d1, d2, d3, e1, e2] = shift as [
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
  ];
  return {
    ...profile,
    focalPx: profile.focalPx + df,
    centrePx: [profile.centrePx[0] + dx, profile.centrePx[1] + dy],
    k1: profile.k1 + d1,
    k2: profile.k2 + d2,
    k3: profile.k3 + d3,
    p1: profile.p1 + e1,
    p2: profile.p2 + e2,
  };
}

/**
 * The profile for pictures of another size taken with the same view (a 1080-line clip of a camera
 * measured at 2160 lines).
 * @returns the profile with lengths and their covariances scaled; or "other-shape" when the two sizes
 *   differ in width over height by more than half a per cent, for then the picture was cropped
 *   (`shape`, `wantedShape`)
 */
export function resizedProfile(
  profile: LensProfile,
  picturePx: readonly [number, number],
): Result<LensProfile, "other-shape"> {
  const shape = profile.picturePx[0] / profile.picturePx[1];
  const wantedShape = picturePx[0] / picturePx[1];
  if (!(Math.abs(wantedShape / shape - 1) < 0.005)) return refuse("other-shape", { shape, wantedShape });
  const ratio = picturePx[0] / profile.picturePx[0];
  const factor = (k: number) => (k < 3 ? ratio : 1);
  return ok({
    ...profile,
    focalPx: profile.focalPx * ratio,
    centrePx: [profile.centrePx[0] * ratio, profile.centrePx[1] * ratio],
    picturePx,
    covariance: profile.covariance.map((c, i) => c * factor(Math.floor(i / 8)) * factor(i % 8)),
    madeFrom: { ...profile.madeFrom, leftPx: profile.madeFrom.leftPx * ratio },
  });
}
