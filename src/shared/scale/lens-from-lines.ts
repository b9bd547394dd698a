import { type Fit, levenbergMarquardt } from "../numeric/levenberg-marquardt.ts";
import type { PxPoint } from "../quantity/point.ts";
import { ok, type Result, refuse } from "../quantity/result.ts";
import { type Agreement, agreement } from "./agreement.ts";
import { bentByStraight, straightened } from "./distortion.ts";
import type { Pair } from "./homography-map.ts";
import { createLens, type LensProfile } from "./lens-model.ts";
import { indicesOf, type LensTerm, lensOf, spreadCovariance, termsOf, typicalTerms } from "./lens-terms.ts";

/** Points marked along one line that is straight in the world. */
export interface MarkedLine {
  readonly points: readonly PxPoint[];
  /** px, standard uncertainty of each coordinate. */
  readonly uPx: number;
}

export interface LinesAndLens {
  readonly lines: readonly MarkedLine[];
  readonly picturePx: readonly [number, number];
  /** px: only a unit for the coefficients; any value near the picture's width will do. */
  readonly focalPx: number;
  /**
   * What to find: k1 at least. Lines cannot tell the focal length; k3, centre and
   * tangential terms need many points.
   */
  readonly find: readonly Exclude<LensTerm, "focalPx">[];
}

export interface LensFromLines {
  readonly profile: LensProfile;
  /**
   * px, root mean square distance of the marked points from their lines, as seen and with the lens taken out.
   */
  readonly beforePx: number;
  readonly afterPx: number;
  readonly agreement: Agreement;
  /** The marked point farthest from its line, in standard uncertainties. */
  readonly worst: { readonly line: number; readonly point: number; readonly deviation: number };
  readonly condition: number;
}

type Refused =
  | "too-few-points"
  | "lines-through-centre"
  | "poorly-placed-lines"
  | "not-converged"
  | "folds-inside-picture";

const FEWEST_ON_A_LINE = 3;
const OFF_CENTRE = 0.1; // of half the diagonal: a line nearer to the centre bends too little to tell anything
const CONDITION_LIMIT = 1e6;
const EXACT_PX = 1e-6;

/**
 * Lens terms from lines known to be straight: minimises the distances, in seen pixels, of the marked points
 * from the bent images of straight lines. Each line is the total least-squares line of its straightened
 * points; a straightened distance is carried back through the local stretch, so that shrinking the picture
 * does not pay; the sign of each line's normal is held, or the residuals would jump. Covariance (JᵀJ)⁻¹,
 * enlarged by the square of the Birge ratio when that exceeds 1. Lines cannot fix a scale, and k1 trades with
 * the centre: look at the condition.
 * Sources: Brown, Photogrammetric Engineering 37:855 (1971); Devernay & Faugeras, Machine Vision and
 * Applications 13:14 (2001).
 * @returns the profile, the centre held at the middle of the picture unless it is to be found; or
 *   "too-few-points" (`points`, `needed` of points beyond two a line, or `line` with fewer than three);
 *   "lines-through-centre" (`farthestPx`, `neededPx`); "poorly-placed-lines" (`condition`, `limit`);
 *   "not-converged"; "folds-inside-picture" as createLens
 * @throws RangeError on inputs that are not finite, sizes <= 0, a u < 0 or no k1 to find
 */
export function lensFromLines(of: LinesAndLens): Result<LensFromLines, Refused> {
  const { lines, picturePx, focalPx } = of;
  const [width, height] = picturePx;
  const inputs = [focalPx, width, height, ...lines.flatMap(({ points, uPx }) => [uPx, ...points.flat()])];
  if (
    !inputs.every(Number.isFinite) ||
    !(focalPx > 0) ||
    !(width > 0) ||
    !(height > 0) ||
    lines.some(({ uPx }) => uPx < 0)
  ) {
    throw new RangeError("lensFromLines: need finite inputs, f > 0, a picture and u >= 0");
  }
  if (!of.find.includes("k1")) throw new RangeError("lensFromLines: k1 is always found");
  const find = indicesOf(of.find);
  const short = lines.findIndex(({ points }) => points.length < FEWEST_ON_A_LINE);
  if (short >= 0) {
    return refuse("too-few-points", {
      line: short,
      points: lines[short].points.length,
      needed: FEWEST_ON_A_LINE,
    });
  }
  // Each line uses up two of its points: what is left must exceed the terms, so that the fit can be tested.
  const points = lines.reduce((sum, line) => sum + line.points.length - 2, 0);
  if (points <= find.length) return refuse("too-few-points", { points, needed: find.length + 1 });

  const centrePx: PxPoint = [width / 2, height / 2];
  const neededPx = OFF_CENTRE * Math.hypot(width / 2, height / 2);
  const held = lines.map(({ points: at }) => lineThrough(at));
  const farthestPx = Math.max(
    ...held.map(({ mean, normal }) =>
      Math.abs((mean[0] - centrePx[0]) * normal[0] + (mean[1] - centrePx[1]) * normal[1]),
    ),
  );
  if (farthestPx < neededPx) return refuse("lines-through-centre", { farthestPx, neededPx });

  const start = termsOf(focalPx, centrePx);
  const fit = fitted(
    lines,
    start,
    find,
    held.map(({ normal }) => normal),
  );
  if (!(fit.condition < CONDITION_LIMIT) || fit.covariance === null) {
    return refuse("poorly-placed-lines", { condition: fit.condition, limit: CONDITION_LIMIT });
  }
  if (!fit.converged) return refuse("not-converged", { steps: fit.steps });
  // Two unknowns of each line have been taken out of the residuals.
  const consistency = agreement(fit.sumOfSquares, points - find.length);
  const enlarge = Math.max(1, consistency.birge) ** 2;
  const afterPx = rmsPx(lines, fit.residuals);
  const terms = start.slice();
  find.forEach((term, i) => {
    terms[term] = fit.parameters[i];
  });
  const profile: LensProfile = {
    ...lensOf(terms),
    picturePx,
    covariance: spreadCovariance(find, fit.covariance, find.length, enlarge),
    madeFrom: {
      by: "lines",
      leftPx: afterPx,
      points: lines.reduce((sum, line) => sum + line.points.length, 0),
    },
  };
  const lens = createLens(profile);
  if (!lens.ok) return lens;
  const before = new Float64Array(fit.residuals.length);
  distances(
    lines,
    start,
    held.map(({ normal }) => normal),
    before,
  );
  return ok({
    profile,
    beforePx: rmsPx(lines, before),
    afterPx,
    agreement: consistency,
    worst: worstOf(lines, fit.residuals),
    condition: fit.condition,
  });
}

function fitted(
  lines: readonly MarkedLine[],
  start: readonly number[],
  find: readonly number[],
  normals: readonly Pair[],
): Fit {
  const typical = typicalTerms(start[0]);
  return levenbergMarquardt({
    count: lines.reduce((sum, line) => sum + line.points.length, 0),
    start: find.map((term) => start[term]),
    typical: find.map((term) => typical[term]),
    residuals: (p, out) => {
      const terms = start.slice();
      find.forEach((term, i) => {
        terms[term] = p[i];
      });
      distances(lines, terms, normals, out);
    },
  });
}

/**
 * Writes each point's distance from its line, in seen pixels over uPx; not a number where
 * the lens does not reach.
 */
function distances(
  lines: readonly MarkedLine[],
  terms: readonly number[],
  normals: readonly Pair[],
  out: Float64Array,
): void {
  const lens = lensOf(terms);
  const [cx, cy] = lens.centrePx;
  let next = 0;
  lines.forEach(({ points, uPx }, l) => {
    const straight = points.map(([x, y]) =>
      straightened(lens, [(x - cx) / lens.focalPx, (y - cy) / lens.focalPx]),
    );
    if (straight.some((at) => at === null)) {
      out.fill(Number.NaN, next, next + points.length);
      next += points.length;
      return;
    }
    const { mean, normal } = lineThrough(straight as Pair[]);
    const way = normal[0] * normals[l][0] + normal[1] * normals[l][1] < 0 ? -1 : 1;
    for (const at of straight as Pair[]) {
      const distance = way * ((at[0] - mean[0]) * normal[0] + (at[1] - mean[1]) * normal[1]);
      // A seen error e moves the straightened point by J⁻¹ e, the distance by n·J⁻¹ e: its size is |J⁻¹ n|.
      const [a, b, c] = bentByStraight(lens, at);
      const det = a * c - b * b;
      const size = Math.hypot(c * normal[0] - b * normal[1], a * normal[1] - b * normal[0]) / det;
      out[next++] = (lens.focalPx * distance) / (size * Math.max(uPx, EXACT_PX));
    }
  });
}

/** Total least-squares line: centroid, and the unit normal by the angle of the covariance's smaller axis. */
function lineThrough(points: readonly Pair[]): { readonly mean: Pair; readonly normal: Pair } {
  const n = points.length;
  const mx = points.reduce((sum, p) => sum + p[0], 0) / n;
  const my = points.reduce((sum, p) => sum + p[1], 0) / n;
  let [xx, xy, yy] = [0, 0, 0];
  for (const [x, y] of points) {
    xx += (x - mx) ** 2;
    xy += (x - mx) * (y - my);
    yy += (y - my) ** 2;
  }
  const angle = Math.atan2(2 * xy, xx - yy) / 2;
  return { mean: [mx, my], normal: [-Math.sin(angle), Math.cos(angle)] };
}

function rmsPx(lines: readonly MarkedLine[], whitened: Float64Array): number {
  let sum = 0;
  let next = 0;
  for (const { points, uPx } of lines)
    for (const _ of points) sum += (whitened[next++] * Math.max(uPx, EXACT_PX)) ** 2;
  return Math.sqrt(sum / next);
}

function worstOf(lines: readonly MarkedLine[], whitened: Float64Array): LensFromLines["worst"] {
  let worst = { line: 0, point: 0, deviation: 0 };
  let next = 0;
  lines.forEach(({ points }, line) => {
    points.forEach((_, point) => {
      const deviation = Math.abs(whitened[next++]);
      if (deviation > worst.deviation) worst = { line, point, deviation };
    });
  });
  return worst;
}
