import { weightedPolynomial } from "../numeric/weighted-polynomial.ts";
import { ok, type Result, refuse } from "../quantity/result.ts";
import type { MovingEdge } from "./estimate-readout.ts";

/** Points along one edge as one frame shows it; y counts along the rows as they are read. */
export interface SweptLine {
  /** s of the clip's clock. */
  readonly timeS: number;
  readonly points: MovingEdge["points"];
}

const FEWEST_FRAMES = 2;
const FEWEST_POINTS = 3;

/**
 * The edge of a sweep, seen in several frames, with its speed in each: where its straight lines cross the
 * row in the middle of all points, fitted against time by a straight line for two frames, else by a
 * parabola, whose derivative is the speed. That row is read equally late in every frame, so the shutter does
 * not enter. What is common to the speeds of a sweep does not average out over its frames: each u is
 * enlarged by the root of their number.
 * @returns one moving edge a frame; "too-few-frames" under two; "too-few-points" under three
 *   different rows in a frame
 * @throws RangeError when two frames have one time, or a u is not > 0
 */
export function edgesOfSweep(
  lines: readonly SweptLine[],
): Result<readonly MovingEdge[], "too-few-frames" | "too-few-points"> {
  if (lines.length < FEWEST_FRAMES)
    return refuse("too-few-frames", { frames: lines.length, neededFrames: FEWEST_FRAMES });
  const fewest = Math.min(...lines.map(({ points }) => new Set(points.map(({ y }) => y)).size));
  if (fewest < FEWEST_POINTS)
    return refuse("too-few-points", { points: fewest, neededPoints: FEWEST_POINTS });
  const all = lines.flatMap(({ points }) => points);
  const row = all.reduce((sum, { y }) => sum + y / all.length, 0);
  const crossings = lines.map(({ points }) => crossing(points, row));
  const times = lines.map(({ timeS }) => timeS);
  const path = weightedPolynomial(
    times,
    crossings.map(({ x }) => x),
    crossings.map(({ u }) => u),
    lines.length === FEWEST_FRAMES ? 1 : 2,
  );
  const common = Math.sqrt(lines.length);
  return ok(
    lines.map(({ timeS, points }) => {
      const z = (timeS - path.centre) / path.half;
      // d/dt Σ c_j z^j = Σ j c_j z^(j-1) / half
      const row = path.coefficients.map((_, j) => (j === 0 ? 0 : (j * z ** (j - 1)) / path.half));
      const value = row.reduce((sum, part, j) => sum + part * path.coefficients[j], 0);
      const variance = row.reduce(
        (sum, a, j) => sum + row.reduce((inner, b, k) => inner + a * b * path.covariance[j]?.[k], 0),
        0,
      );
      return { points, speedPxPerS: { value, u: common * Math.sqrt(variance) } };
    }),
  );
}

/**
 * Where the straight line through an edge's points crosses a row; u is widened when the points lie
 * farther off than they say.
 */
function crossing(points: MovingEdge["points"], row: number): { readonly x: number; readonly u: number } {
  const fit = weightedPolynomial(
    points.map(({ y }) => y),
    points.map(({ x }) => x),
    points.map(({ u }) => u),
    1,
  );
  const z = (row - fit.centre) / fit.half;
  const [c00, c01, c11] = [fit.covariance[0]?.[0], fit.covariance[0]?.[1], fit.covariance[1]?.[1]] as [
    number,
    number,
    number,
  ];
  const widen = Math.max(1, fit.chi2 / fit.dof);
  return {
    x: fit.coefficients[0] + z * fit.coefficients[1],
    u: Math.sqrt(widen * (c00 + 2 * z * c01 + z * z * c11)),
  };
}
