import { levenbergMarquardt } from "../numeric/levenberg-marquardt.ts";
import type { PxPoint } from "../quantity/point.ts";
import { ok, type Result, refuse } from "../quantity/result.ts";
import { type Agreement, agreement, WRONG_ENTRY } from "./agreement.ts";
import {
  byHomography,
  byPlace,
  directLinear,
  type Homography8,
  type Normaliser,
  normalised,
  normaliserOf,
  type Pair,
  project,
} from "./homography-map.ts";
import { type PlaneMap, planeMap } from "./plane-map.ts";
import { fourPointHeight } from "./point-spread.ts";

/** A point of the flight plane whose place in metres is known, picked in the picture. */
export interface KnownPoint {
  readonly px: PxPoint;
  /** px, standard uncertainty of each picked coordinate. */
  readonly uPx: number;
  /** [x, y] m in the flight plane, x along the ground to the right, y up. */
  readonly metres: Pair;
  /** m, standard uncertainty of each coordinate. */
  readonly uM: number;
}

export interface FittedPlane {
  readonly map: PlaneMap;
  readonly agreement: Agreement;
  /** px, root mean square over all coordinates of what the fit leaves. */
  readonly rmsPx: number;
  /** Per point: [x, y] px, picked minus fitted, and its size in standard uncertainties. */
  readonly left: readonly { readonly px: PxPoint; readonly deviation: number }[];
  /** Scaled condition of the fit. */
  readonly condition: number;
}

export type PlaneRefusal =
  | "too-few-points"
  | "points-in-line"
  | "poorly-placed-points"
  | "points-disagree"
  | "horizon-between-points"
  | "not-converged";

const FEWEST = 4;
// of the height of the flattest triangle: below it the first-order law for the map is no longer good
const NEEDED_IN_U = 10;
const SMALLEST_SHAPE = 1e-6; // of the extent: exact points nearer to a line than this leave no digits
const CONDITION_LIMIT = 1e5; // 3 for a square seen squarely, 100 for one seen at 80°
const EXACT_PX = 1e-6; // stands for a picking uncertainty of 0, so that weights stay finite

/**
 * Homography of the flight plane from four or more known points: normalised direct linear transform, then
 * maximum likelihood by minimising sum (px - P(X))ᵀ S⁻¹ (px - P(X)), S = uPx² I + uM² J_X J_Xᵀ (errors of the
 * places carried into the picture, at the fit). Covariance (JᵀS⁻¹J)⁻¹, enlarged by the square of the Birge
 * ratio when that exceeds 1.
 * Sources: Hartley & Zisserman, Multiple View Geometry, 2nd ed. (2004), alg. 4.2 and 4.3; Criminisi, Reid &
 * Zisserman, A plane measuring device, BMVC 1997.
 * @returns the map both ways with its uncertainty; or a refusal: "too-few-points" (`points`, `needed`);
 *   "points-in-line": no four of which three are not on a line (`height`, `needed`, both px or both m);
 *   "poorly-placed-points" (`condition`, `limit`); "points-disagree": scatter of a chance below 5.7e-7,
 *   so a wrong length or click, or a lens that bends (`birge`, `point`); "horizon-between-points": numbers
 *   mixed up (`point`); "not-converged"
 * @throws RangeError on inputs that are not finite or a u < 0
 */
export function planeHomography(points: readonly KnownPoint[]): Result<FittedPlane, PlaneRefusal> {
  const plane = fittedPlane(points);
  if (!plane.ok || plane.value.agreement.chance >= WRONG_ENTRY) return plane;
  const sizes = plane.value.left.map((one) => one.deviation);
  const { birge } = plane.value.agreement;
  return refuse("points-disagree", { birge, point: sizes.indexOf(Math.max(...sizes)) });
}

/** The same of points that are not asked whether they agree: stated ones moved by their uncertainty. */
export function fittedPlane(
  points: readonly KnownPoint[],
): Result<FittedPlane, Exclude<PlaneRefusal, "points-disagree">> {
  const inputs = points.flatMap(({ px, uPx, metres, uM }) => [...px, uPx, ...metres, uM]);
  if (!inputs.every(Number.isFinite) || points.some(({ uPx, uM }) => uPx < 0 || uM < 0)) {
    throw new RangeError(`planeHomography: need finite inputs, u >= 0; got ${inputs.join(", ")}`);
  }
  if (points.length < FEWEST) return refuse("too-few-points", { points: points.length, needed: FEWEST });
  const flat = inLine(points);
  if (flat) return refuse("points-in-line", flat);

  const places = normaliserOf(points.map(({ metres }) => metres));
  const images = normaliserOf(points.map(({ px }) => px));
  const x = points.map(({ metres }) => normalised(places, metres));
  const u = points.map(({ px }) => normalised(images, px));
  const start = directLinear(x, u);
  if (start === null) return refuse("poorly-placed-points", { condition: Infinity, limit: CONDITION_LIMIT });
  const behind = firstBehind(start, x);
  if (behind >= 0) return refuse("horizon-between-points", { point: behind });

  let h: Homography8 = start;
  let fit = fitted(h, x, u, whiteners(points, h, x, places, images));
  // The weights use the map; where places are uncertain the fit is repeated with the weights of the fit
  // before; twice is enough, as they hardly change.
  for (let pass = 0; pass < 2 && points.some(({ uM }) => uM > 0); pass++) {
    h = fit.parameters;
    fit = fitted(h, x, u, whiteners(points, h, x, places, images));
  }
  h = fit.parameters;
  const horizon = firstBehind(h, x);
  if (horizon >= 0) return refuse("horizon-between-points", { point: horizon });
  if (!(fit.condition < CONDITION_LIMIT) || fit.covariance === null) {
    return refuse("poorly-placed-points", { condition: fit.condition, limit: CONDITION_LIMIT });
  }
  if (!fit.converged) return refuse("not-converged", { steps: fit.steps });

  const consistency = agreement(fit.sumOfSquares, fit.degreesOfFreedom);
  const left = points.map(({ px }, i) => {
    const [fx, fy] = project(h, x[i]).at;
    const deviation = Math.hypot(fit.residuals[2 * i], fit.residuals[2 * i + 1]);
    const [cx, cy] = images.centre;
    return { px: [px[0] - cx - fx / images.scale, px[1] - cy - fy / images.scale] as const, deviation };
  });
  const enlarge = Math.max(1, consistency.birge) ** 2;
  const squares = left.reduce((sum, { px }) => sum + px[0] ** 2 + px[1] ** 2, 0);
  return ok({
    map: planeMap({ h, covariance: fit.covariance.map((c) => enlarge * c), places, images }),
    agreement: consistency,
    rmsPx: Math.sqrt(squares / (2 * points.length)),
    left,
    condition: fit.condition,
  });
}

/** Lower triangular W with Wᵀ W = S⁻¹ per point, [3] each: residuals W (px - P(X)) have unit variance. */
type Whitener = readonly [number, number, number];

function whiteners(
  points: readonly KnownPoint[],
  h: Homography8,
  x: readonly Pair[],
  places: Normaliser,
  images: Normaliser,
): Whitener[] {
  return points.map(({ uPx, uM }, i) => {
    const own = (Math.max(uPx, EXACT_PX) * images.scale) ** 2;
    const common = (uM * places.scale) ** 2;
    const [a, b, c, d] = byPlace(h, x[i]);
    // Cholesky S = L Lᵀ; W = L⁻¹.
    const l11 = Math.sqrt(own + common * (a * a + b * b));
    const l21 = (common * (a * c + b * d)) / l11;
    const l22 = Math.sqrt(own + common * (c * c + d * d) - l21 * l21);
    return [1 / l11, -l21 / (l11 * l22), 1 / l22];
  });
}

function fitted(start: Homography8, x: readonly Pair[], u: readonly Pair[], w: readonly Whitener[]) {
  return levenbergMarquardt({
    count: 2 * x.length,
    start,
    typical: [1, 1, 1, 1, 1, 1, 1, 1],
    residuals: (h, out) => {
      x.forEach((place, i) => {
        const { at, depth } = project(h, place);
        const [a, b, c] = w[i];
        const ex = u[i][0] - at[0];
        const ey = u[i][1] - at[1];
        // A step that puts a point behind the camera is no view of the plane.
        out[2 * i] = depth > 0 ? a * ex : Number.NaN;
        out[2 * i + 1] = b * ex + c * ey;
      });
    },
    jacobian: (h, out) => {
      x.forEach((place, i) => {
        const j = byHomography(h, place);
        const [a, b, c] = w[i];
        for (let k = 0; k < 8; k++) {
          out[16 * i + k] = -a * j[k];
          out[16 * i + 8 + k] = -b * j[k] - c * j[8 + k];
        }
      });
    },
  });
}

function firstBehind(h: Homography8, x: readonly Pair[]): number {
  return x.findIndex((place) => !(project(h, place).depth > 0));
}

/** The numbers of the refusal when picks or places are too near to a line; null when they are not. */
function inLine(points: readonly KnownPoint[]): { height: number; needed: number } | null {
  const sides = [
    { at: points.map(({ px }) => px), u: Math.max(...points.map(({ uPx }) => uPx)) },
    { at: points.map(({ metres }) => metres), u: Math.max(...points.map(({ uM }) => uM)) },
  ];
  for (const { at, u } of sides) {
    const extent = Math.max(...at.map(([x, y]) => Math.hypot(x - at[0][0], y - at[0][1])));
    const needed = Math.max(NEEDED_IN_U * u, SMALLEST_SHAPE * extent);
    const height = fourPointHeight(at);
    if (!(height > needed)) return { height, needed };
  }
  return null;
}
