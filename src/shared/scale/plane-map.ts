import { choleskyInPlace } from "../numeric/cholesky.ts";
import { added, type Covariance2, carried, varianceOf } from "../numeric/covariance.ts";
import type { PxPoint } from "../quantity/point.ts";
import {
  byHomography,
  byPlace,
  denormalised,
  denormalisedMatrix,
  type Homography8,
  type Normaliser,
  normalised,
  type Pair,
  project,
  unproject,
} from "./homography-map.ts";
import { UnseenPlaceError } from "./unseen-place.ts";

/** Number of unknowns of a homography, and the length of the draws that disturb it. */
export const HOMOGRAPHY_TERMS = 8;

/** Uncertainty of a place in the plane: what all frames share, what one mark adds, and their sum; m². */
export interface PlaceCovariance {
  /** J_h C_h J_hᵀ: from the known points, the same for all frames, so systematic. */
  readonly common: Covariance2;
  /** J_u C_u J_uᵀ: from this mark alone. */
  readonly own: Covariance2;
  readonly total: Covariance2;
}

/** The map between picture and flight plane that known points give, with its uncertainty. */
export interface PlaneMap {
  /** px -> m. @throws UnseenPlaceError for a place at or beyond the plane's horizon */
  toMetres(at: PxPoint): Pair;
  /** m -> px. @throws RangeError for a place behind the camera */
  toPixels(at: Pair): PxPoint;
  /** m/px at a picture place for motion along a direction in the plane (any length): 1/|J_X e|. */
  localScale(at: PxPoint, along: Pair): number;
  /** @param markPx [var x, cov, var y] px² of the mark */
  placeCovariance(at: PxPoint, markPx: Covariance2): PlaceCovariance;
  /**
   * Relative standard uncertainty, from C_h alone, of the distance between two picture places:
   * systematic, does not average out.
   */
  lengthSystematic(from: PxPoint, to: PxPoint): number;
  /** The same for a short length at a place along a direction in the plane: what a speed there inherits. */
  speedSystematic(at: PxPoint, along: Pair): number;
  /**
   * d(place)/d(unit disturbance), [2*8] row by row: column k is what `disturbed` does for
   * a draw of one in term k.
   */
  sensitivity(at: PxPoint): Float64Array;
  /**
   * The map moved by L z, C_h = L Lᵀ, z [8] of independent standard normals: for Monte Carlo, or one z of
   * 1 at a time for a budget.
   */
  disturbed(z: ArrayLike<number>): PlaneMap;
  /**
   * H, metres -> px, row by row with h33 = 1.
   * @throws RangeError when the origin of the metres is not in front of the camera
   */
  matrix(): Float64Array;
  /**
   * Covariance of h11 h12 h13 h21 h22 h23 h31 h32 in that form, [8*8] row by row.
   * @throws RangeError as matrix
   */
  matrixCovariance(): Float64Array;
  /** True when the metres run mirrored in the picture (x to the right and y down, or the like). */
  readonly mirrored: boolean;
}

/**
 * A homography of normalised points, h33 = 1 at the centroid of the known places, which is always in view.
 */
export interface NormalisedHomography {
  readonly h: Homography8;
  /** [8*8] row by row. */
  readonly covariance: Float64Array;
  readonly places: Normaliser;
  readonly images: Normaliser;
}

/**
 * The map of a normalised homography. Place X = H⁻¹u; by the implicit function X of P(X; h) = u:
 * J_u = J_X⁻¹, J_h = -J_X⁻¹ dP/dh.
 * Source: Criminisi, Reid & Zisserman, A plane measuring device, BMVC 1997 (first order).
 */
export function planeMap(of: NormalisedHomography): PlaneMap {
  const { h, covariance, places, images } = of;
  const unit = images.scale / places.scale; // normalised px per normalised metre -> m/px
  const factor = covariance.slice();
  if (choleskyInPlace(factor, HOMOGRAPHY_TERMS) === null) {
    throw new RangeError("planeMap: the covariance is not positive definite");
  }
  const placeOf = (px: PxPoint): Pair => {
    const { at, depth } = unproject(h, normalised(images, px));
    if (!(depth > 0))
      throw new UnseenPlaceError(
        px,
        `planeMap: ${px.join(", ")} px is at or beyond the horizon of the plane`,
      );
    return at;
  };
  /** J_X⁻¹ at a normalised place. */
  const inverseAt = (place: Pair): Pair4 => {
    const [a, b, c, d] = byPlace(h, place);
    const det = a * d - b * c;
    return [d / det, -b / det, -c / det, a / det];
  };
  /** J_h in m, [2*8]. */
  const byTerms = (px: PxPoint): Float64Array => {
    const place = placeOf(px);
    const [a, b, c, d] = inverseAt(place);
    const dh = byHomography(h, place);
    const out = new Float64Array(16);
    for (let k = 0; k < 8; k++) {
      out[k] = -(a * dh[k] + b * dh[8 + k]) / places.scale;
      out[8 + k] = -(c * dh[k] + d * dh[8 + k]) / places.scale;
    }
    return out;
  };
  const toMetres = (px: PxPoint): Pair => denormalised(places, placeOf(px));
  const lengthSystematic = (from: PxPoint, to: PxPoint): number => {
    const [p, q] = [toMetres(from), toMetres(to)];
    const length = Math.hypot(q[0] - p[0], q[1] - p[1]);
    if (!(length > 0)) throw new RangeError("lengthSystematic: the two places are one");
    const [ex, ey] = [(q[0] - p[0]) / length, (q[1] - p[1]) / length];
    const [jp, jq] = [byTerms(from), byTerms(to)];
    const gradient = Float64Array.from(
      { length: 8 },
      (_, k) => (ex * (jq[k] - jp[k]) + ey * (jq[8 + k] - jp[8 + k])) / length,
    );
    return Math.sqrt(Math.max(0, varianceOf(gradient, covariance)));
  };
  const stepAlong = (px: PxPoint, along: Pair): PxPoint => {
    const [a, b, c, d] = byPlace(h, placeOf(px));
    const size = Math.hypot(along[0], along[1]);
    if (!(size > 0)) throw new RangeError("planeMap: a direction of no length");
    return [(a * along[0] + b * along[1]) / (unit * size), (c * along[0] + d * along[1]) / (unit * size)];
  };
  const full = () => {
    const matrix = denormalisedMatrix([...Array.from(h), 1], places, images);
    if (!(matrix[8] > 0))
      throw new RangeError("planeMap: the origin of the metres is not in front of the camera");
    return matrix;
  };
  return {
    toMetres,
    toPixels: (at) => {
      const { at: image, depth } = project(h, normalised(places, at));
      if (!(depth > 0)) throw new RangeError(`planeMap: ${at.join(", ")} m is behind the camera`);
      return denormalised(images, image);
    },
    localScale: (px, along) => 1 / Math.hypot(...stepAlong(px, along)),
    placeCovariance: (px, [xx, xy, yy]) => {
      const j = inverseAt(placeOf(px)).map((value) => unit * value);
      const common = carried(byTerms(px), covariance, 8);
      const own = carried(j, [xx, xy, xy, yy], 2);
      return { common, own, total: added(common, own) };
    },
    lengthSystematic,
    speedSystematic: (px, along) => {
      const [dx, dy] = stepAlong(px, along);
      const half = 0.5 / Math.hypot(dx, dy); // one pixel in all: over it the map is straight to a part in 1e6
      return lengthSystematic([px[0] - half * dx, px[1] - half * dy], [px[0] + half * dx, px[1] + half * dy]);
    },
    sensitivity: (px) => {
      const j = byTerms(px);
      const out = new Float64Array(16);
      for (let row = 0; row < 2; row++)
        for (let k = 0; k < 8; k++)
          for (let i = k; i < 8; i++) out[8 * row + k] += j[8 * row + i] * factor[8 * i + k];
      return out;
    },
    disturbed: (z) => {
      const moved = Float64Array.from(h);
      for (let i = 0; i < 8; i++) for (let k = 0; k <= i; k++) moved[i] += factor[8 * i + k] * z[k];
      return planeMap({ ...of, h: moved });
    },
    matrix: () => full().map((value, _, all) => value / all[8]),
    matrixCovariance: () => {
      const matrix = full();
      const last = matrix[8];
      const j = new Float64Array(64);
      for (let k = 0; k < 8; k++) {
        const d = denormalisedMatrix(unitVector(k), places, images);
        for (let i = 0; i < 8; i++) j[8 * i + k] = (d[i] - (matrix[i] / last) * d[8]) / last;
      }
      return sandwich(j, covariance);
    },
    mirrored: signOfTurn(h) > 0,
  };
}

type Pair4 = readonly [number, number, number, number];

function unitVector(k: number): number[] {
  return Array.from({ length: 9 }, (_, i) => (i === k ? 1 : 0));
}

/** Positive when x to y turns the same way in the picture (y down) as in the plane's numbers. */
function signOfTurn(h: Homography8): number {
  const [a, b, c, d] = byPlace(h, [0, 0]);
  return a * d - b * c;
}

/** J C Jᵀ, 8*8. */
function sandwich(j: Float64Array, c: Float64Array): Float64Array {
  const half = new Float64Array(64);
  const out = new Float64Array(64);
  for (let i = 0; i < 8; i++)
    for (let k = 0; k < 8; k++) for (let l = 0; l < 8; l++) half[8 * i + k] += j[8 * i + l] * c[8 * l + k];
  for (let i = 0; i < 8; i++)
    for (let k = 0; k < 8; k++) for (let l = 0; l < 8; l++) out[8 * i + k] += half[8 * i + l] * j[8 * k + l];
  return out;
}
