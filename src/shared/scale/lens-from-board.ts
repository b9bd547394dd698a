import { type Fit, levenbergMarquardt } from "../numeric/levenberg-marquardt.ts";
import type { PxPoint } from "../quantity/point.ts";
import { ok, type Result, refuse } from "../quantity/result.ts";
import { type Agreement, agreement } from "./agreement.ts";
import { focalFromHomographies, poseFromHomography, rotationOf, viewed } from "./board-pose.ts";
import { bent } from "./distortion.ts";
import { denormalisedMatrix, directLinear, normalised, normaliserOf, type Pair } from "./homography-map.ts";
import { createLens, type LensProfile } from "./lens-model.ts";
import { indicesOf, type LensTerm, lensOf, spreadCovariance, termsOf, typicalTerms } from "./lens-terms.ts";
import { fourPointHeight } from "./point-spread.ts";

/** One picture of a flat board: its known points, in metres on the board, as picked. */
export interface BoardView {
  readonly points: readonly { readonly px: PxPoint; readonly boardM: Pair }[];
  /** px, standard uncertainty of each picked coordinate. */
  readonly uPx: number;
}

export interface BoardAndLens {
  readonly views: readonly BoardView[];
  readonly picturePx: readonly [number, number];
  /**
   * Terms to find besides the focal length; the others are held: centre at the middle of the
   * picture, coefficients at 0.
   */
  readonly find: readonly Exclude<LensTerm, "focalPx">[];
}

export interface LensFromBoard {
  readonly profile: LensProfile;
  readonly agreement: Agreement;
  /** px, root mean square over all coordinates. */
  readonly leftPx: number;
  /** Per view: the board's rotation vector (rad) and place (m) before the camera, and what is left, px. */
  readonly views: readonly { readonly pose: readonly number[]; readonly leftPx: number }[];
  readonly worst: { readonly view: number; readonly point: number; readonly deviation: number };
  readonly condition: number;
}

type Refused =
  | "too-few-points"
  | "points-in-line"
  | "board-not-tilted"
  | "poorly-placed-boards"
  | "not-converged"
  | "folds-inside-picture";

const FEWEST_IN_A_VIEW = 4;
const CONDITION_LIMIT = 1e8; // the centre and the poses' shifts trade with each other in every such fit
const FOCAL_NEEDED = 0.05; // u(f)/f above this: the boards were all seen squarely
const EXACT_PX = 1e-6;
const POSE = 6;

/**
 * Focal length and distortion from several pictures of a flat board: start from the views' homographies, then
 * least squares of the picked minus the predicted places over the lens and all poses at once (one lens, six
 * numbers a view). Square pixels. Covariance of the lens with the poses free, enlarged by the square of the
 * Birge ratio when that exceeds 1. Lengths on the board set the scale of the poses only: an error common to
 * all of them does not reach the lens.
 * Source: Zhang, A flexible new technique for camera calibration, IEEE PAMI 22:1330 (2000).
 * @returns the profile; or "too-few-points" (`view`, `points`, `needed`; without `view`, of coordinates in
 *   all); "points-in-line" (`view`, `heightPx`, `neededPx`); "board-not-tilted": no perspective to tell the
 *   focal length by (`relativeU`, `limit`, when it got that far); "poorly-placed-boards" (`condition`,
 *   `limit`); "not-converged"; "folds-inside-picture"
 * @throws RangeError on inputs that are not finite, a picture size <= 0 or a u < 0
 */
export function lensFromBoard(of: BoardAndLens): Result<LensFromBoard, Refused> {
  const { views, picturePx } = of;
  const [width, height] = picturePx;
  const inputs = [
    width,
    height,
    ...views.flatMap(({ uPx, points }) => [uPx, ...points.flatMap(({ px, boardM }) => [...px, ...boardM])]),
  ];
  if (!inputs.every(Number.isFinite) || !(width > 0) || !(height > 0) || views.some(({ uPx }) => uPx < 0)) {
    throw new RangeError("lensFromBoard: need finite inputs, a picture and u >= 0");
  }
  const find = indicesOf(["focalPx", ...of.find]);
  const centre: PxPoint = [width / 2, height / 2];
  const homographies: Float64Array[] = [];
  for (const [view, { points, uPx }] of views.entries()) {
    if (points.length < FEWEST_IN_A_VIEW) {
      return refuse("too-few-points", { view, points: points.length, needed: FEWEST_IN_A_VIEW });
    }
    const heightPx = fourPointHeight(points.map(({ px }) => px));
    const neededPx = Math.max(10 * uPx, 1);
    const h = heightPx > neededPx ? homographyOf(points, centre) : null;
    if (h === null) return refuse("points-in-line", { view, heightPx, neededPx });
    homographies.push(h);
  }
  const count = 2 * views.reduce((sum, { points }) => sum + points.length, 0);
  const unknowns = find.length + POSE * views.length;
  if (count <= unknowns)
    return refuse("too-few-points", { points: count / 2, needed: Math.floor(unknowns / 2) + 1 });

  const focal = focalFromHomographies(homographies);
  if (focal === null) return refuse("board-not-tilted");
  const start = termsOf(focal, centre);
  const poses = homographies.map((h) => poseFromHomography(h, focal));
  const fit = fitted(views, count, start, find, poses);
  // Without perspective the focal length trades with the distances: its own uncertainty tells that
  // better than the condition.
  if (fit.covariance !== null) {
    const enlarge = Math.max(1, Math.sqrt(fit.sumOfSquares / fit.degreesOfFreedom));
    const relativeU = (enlarge * Math.sqrt(fit.covariance[0])) / fit.parameters[0];
    if (!(relativeU < FOCAL_NEEDED)) return refuse("board-not-tilted", { relativeU, limit: FOCAL_NEEDED });
  }
  if (!(fit.condition < CONDITION_LIMIT) || fit.covariance === null) {
    return refuse("poorly-placed-boards", { condition: fit.condition, limit: CONDITION_LIMIT });
  }
  if (!fit.converged) return refuse("not-converged", { steps: fit.steps });

  const consistency = agreement(fit.sumOfSquares, fit.degreesOfFreedom);
  const perView = leftOver(views, fit.residuals);
  const leftPx = Math.sqrt(perView.reduce((sum, { squares }) => sum + squares, 0) / count);
  const terms = start.slice();
  find.forEach((term, i) => {
    terms[term] = fit.parameters[i];
  });
  const profile: LensProfile = {
    ...lensOf(terms),
    picturePx,
    covariance: spreadCovariance(find, fit.covariance, unknowns, Math.max(1, consistency.birge) ** 2),
    madeFrom: { by: "board", leftPx, points: count / 2 },
  };
  const lens = createLens(profile);
  if (!lens.ok) return lens;
  const worst = perView
    .map((one, view) => ({ view, ...one.worst }))
    .reduce((a, b) => (b.deviation > a.deviation ? b : a));
  return ok({
    profile,
    agreement: consistency,
    leftPx,
    views: perView.map(({ squares, coordinates }, v) => ({
      pose: Array.from(fit.parameters.subarray(find.length + POSE * v, find.length + POSE * (v + 1))),
      leftPx: Math.sqrt(squares / coordinates),
    })),
    worst,
    condition: fit.condition,
  });
}

/** Board metres -> px from the centre, by the direct linear transform. */
function homographyOf(points: BoardView["points"], centre: PxPoint): Float64Array | null {
  const places = normaliserOf(points.map(({ boardM }) => boardM));
  const images = normaliserOf(points.map(({ px }) => px));
  const h = directLinear(
    points.map(({ boardM }) => normalised(places, boardM)),
    points.map(({ px }) => normalised(images, px)),
  );
  if (h === null) return null;
  const shifted = {
    scale: images.scale,
    centre: [images.centre[0] - centre[0], images.centre[1] - centre[1]] as const,
  };
  const full = denormalisedMatrix([...h, 1], places, shifted);
  return full[8] > 0 ? full.subarray(0, 8).map((value) => value / full[8]) : null;
}

function fitted(
  views: readonly BoardView[],
  count: number,
  start: readonly number[],
  find: readonly number[],
  poses: readonly number[][],
): Fit {
  const typicalLens = typicalTerms(start[0]);
  const lensTypical = find.map((term) => typicalLens[term]);
  const typical = [
    ...lensTypical,
    ...poses.flatMap((pose) => [1, 1, 1, ...[0, 1, 2].map(() => Math.hypot(...pose.slice(3)))]),
  ];
  const n = typical.length;
  const firsts: number[] = [];
  views.reduce((first, { points }) => {
    firsts.push(first);
    return first + 2 * points.length;
  }, 0);
  const termsAt = (p: ArrayLike<number>) => {
    const terms = start.slice();
    find.forEach((term, i) => {
      terms[term] = p[i];
    });
    return terms;
  };
  const writeView = (p: ArrayLike<number>, v: number, out: Float64Array, first: number) => {
    const at = find.length + POSE * v;
    predictedMinusPicked(
      views[v],
      termsAt(p),
      [0, 1, 2, 3, 4, 5].map((k) => p[at + k]),
      out,
      first,
    );
  };
  return levenbergMarquardt({
    count,
    start: [...find.map((term) => start[term]), ...poses.flat()],
    typical,
    residuals: (p, out) => {
      for (let v = 0; v < views.length; v++) writeView(p, v, out, firsts[v]);
    },
    // Central differences, view by view: a pose moves its own view only.
    jacobian: (p, out) => {
      const at = Float64Array.from(p);
      views.forEach(({ points }, v) => {
        const rows = 2 * points.length;
        const [plus, minus] = [new Float64Array(rows), new Float64Array(rows)];
        const columns = [...find.keys(), ...[0, 1, 2, 3, 4, 5].map((k) => find.length + POSE * v + k)];
        for (const j of columns) {
          const h = 6e-6 * Math.max(Math.abs(p[j]), typical[j]);
          at[j] = p[j] + h;
          writeView(at, v, plus, 0);
          at[j] = p[j] - h;
          writeView(at, v, minus, 0);
          at[j] = p[j];
          for (let i = 0; i < rows; i++) out[(firsts[v] + i) * n + j] = (plus[i] - minus[i]) / (2 * h);
        }
      });
    },
  });
}

function predictedMinusPicked(
  { points, uPx }: BoardView,
  terms: readonly number[],
  pose: readonly number[],
  out: Float64Array,
  first: number,
): void {
  const lens = lensOf(terms);
  const rotation = rotationOf(pose[0], pose[1], pose[2]);
  const t = [pose[3], pose[4], pose[5]] as const;
  const u = Math.max(uPx, EXACT_PX);
  points.forEach(({ px, boardM }, i) => {
    const at = viewed(rotation, t, boardM);
    const [x, y] = at === null ? [Number.NaN, Number.NaN] : bent(lens, at);
    out[first + 2 * i] = (lens.focalPx * x + lens.centrePx[0] - px[0]) / u;
    out[first + 2 * i + 1] = (lens.focalPx * y + lens.centrePx[1] - px[1]) / u;
  });
}

function leftOver(views: readonly BoardView[], whitened: Float64Array) {
  let next = 0;
  return views.map(({ points, uPx }) => {
    let squares = 0;
    let worst = { point: 0, deviation: 0 };
    points.forEach((_, point) => {
      const deviation = Math.hypot(whitened[next], whitened[next + 1]);
      next += 2;
      squares += (deviation * Math.max(uPx, EXACT_PX)) ** 2;
      if (deviation > worst.deviation) worst = { point, deviation };
    });
    return { squares, coordinates: 2 * points.length, worst };
  });
}
