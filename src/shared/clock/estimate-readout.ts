import { weightedPolynomial } from "../numeric/weighted-polynomial.ts";
import type { Measured } from "../quantity/measured.ts";
import { ok, type Result, refuse } from "../quantity/result.ts";

/**
 * A straight upright edge in one frame: points along it, and how fast it moves to the right in the picture.
 */
export interface MovingEdge {
  /** px; u of each coordinate. Three or more, over much of the height. */
  readonly points: readonly { readonly x: number; readonly y: number; readonly u: number }[];
  /**
   * px/s, measured at one height of the picture, so that the shutter does not enter; negative to the left.
   */
  readonly speedPxPerS: Measured;
}

export interface ReadoutEstimate {
  /** s, top edge to bottom edge of the upright picture; negative when read upwards. */
  readonly readoutS: Measured;
  readonly rowS: Measured;
  /** rad, the edge's own lean as fitted: positive when its lower end is to the right. */
  readonly leanRad: Measured;
  /**
   * √(χ²/ν) of the points about their straight lines; well above 1 means the edge is bent or the
   * marks are worse than said.
   */
  readonly straightness: number;
}

// Without an estimate the readout of a camera lies anywhere up to some 20 ms, u = 6 ms; one that is no better
// than a third of it is no help.
const NEEDED_U_S = 0.002;
const LEAST_POINTS = 3;

/**
 * Readout time from straight upright edges that move across the picture: row y is read y t_row late, so the
 * edge leans by dx/dy = tan(lean) + v_x t_row. Each edge's slope is a weighted least-squares line of x on y;
 * lean and t_row follow from all slopes and the lean known beforehand, by weighted least squares. Edges
 * moving both ways tell lean and readout apart by themselves. u(slope)² is widened by χ²/ν of the points when
 * that exceeds 1, and by (t_row u(v))².
 * @param leanRad the edge's own lean, e.g. from the plumb or from the edge at rest, positive when its
 *   lower end is to the right
 * @param heightPx height of the upright picture
 * @returns "too-slow" when u(readout) would exceed 2 ms, with the speed that would do for the same marks were
 *   it known exactly; "too-few-points" under 3 an edge
 * @throws RangeError when there is no edge, or a u is not > 0
 */
export function estimateReadout(
  edges: readonly MovingEdge[],
  leanRad: Measured,
  heightPx: number,
): Result<ReadoutEstimate, "too-slow" | "too-few-points"> {
  if (edges.length === 0 || !(heightPx > 0) || !(leanRad.u >= 0) || !(Math.abs(leanRad.value) < 1)) {
    throw new RangeError(
      `estimateReadout: ${edges.length} edges, lean ${leanRad.value} rad, height ${heightPx} px`,
    );
  }
  const fewest = Math.min(...edges.map(({ points }) => new Set(points.map(({ y }) => y)).size));
  if (fewest < LEAST_POINTS) return refuse("too-few-points", { points: fewest, neededPoints: LEAST_POINTS });
  const lines = edges.map(lineOf);
  const dof = lines.reduce((sum, line) => sum + line.dof, 0);
  const straightness = Math.sqrt(lines.reduce((sum, line) => sum + line.chi2, 0) / dof);
  const widen = Math.max(1, straightness);
  let fit = combine(lines, widen, leanRad, 0);
  // The u of speed enters through t_row, so the weights are found by going round; three rounds are ample, the
  // effect being of second order.
  for (let round = 0; round < 3; round++) fit = combine(lines, widen, leanRad, fit.rowS.value);
  const uReadout = fit.rowS.u * heightPx;
  if (!(uReadout <= NEEDED_U_S)) {
    const fastest = Math.max(...edges.map(({ speedPxPerS }) => Math.abs(speedPxPerS.value)));
    const uSlope = widen / Math.sqrt(lines.reduce((sum, line) => sum + 1 / line.uSlope ** 2, 0));
    const neededPxPerS = (heightPx * Math.hypot(uSlope, leanRad.u)) / NEEDED_U_S;
    return refuse("too-slow", { speedPxPerS: fastest, neededPxPerS, neededUS: NEEDED_U_S });
  }
  const readoutS = { value: fit.rowS.value * heightPx, u: uReadout };
  return ok({ readoutS, rowS: fit.rowS, leanRad: fit.leanRad, straightness });
}

interface EdgeLine {
  readonly slope: number;
  readonly uSlope: number;
  readonly speed: Measured;
  readonly chi2: number;
  readonly dof: number;
}

function lineOf({ points, speedPxPerS }: MovingEdge): EdgeLine {
  const fit = weightedPolynomial(
    points.map(({ y }) => y),
    points.map(({ x }) => x),
    points.map(({ u }) => u),
    1,
  );
  return {
    slope: fit.coefficients[1] / fit.half,
    uSlope: Math.sqrt(fit.covariance[1]?.[1]) / fit.half,
    speed: speedPxPerS,
    chi2: fit.chi2,
    dof: fit.dof,
  };
}

/**
 * Least squares for [tan lean, t_row] from slope_i = tan lean + v_i t_row, with the lean known beforehand
 * as one more observation.
 */
function combine(lines: readonly EdgeLine[], widen: number, lean: Measured, rowS: number) {
  const tan = Math.tan(lean.value);
  const uTan = lean.u * (1 + tan * tan);
  // Shifted by the lean known beforehand, whose deviation is then observed as 0 ± uTan; an exact lean
  // has no deviation at all.
  let [a11, a12, a22, b1, b2] = [0, 0, 0, 0, 0];
  for (const { slope, uSlope, speed } of lines) {
    const w = 1 / ((widen * uSlope) ** 2 + (rowS * speed.u) ** 2);
    a11 += w;
    a12 += w * speed.value;
    a22 += w * speed.value ** 2;
    b1 += w * (slope - tan);
    b2 += w * speed.value * (slope - tan);
  }
  // In units of uTan the prior adds 1 to the first diagonal: s = deviation / uTan.
  const [n11, n12, n22] = [1 + a11 * uTan ** 2, a12 * uTan, a22];
  const det = n11 * n22 - n12 * n12;
  const s = (n22 * b1 * uTan - n12 * b2) / det;
  const t = (n11 * b2 - n12 * b1 * uTan) / det;
  const fitted = tan + s * uTan;
  return {
    rowS: { value: t, u: Math.sqrt(n11 / det) },
    leanRad: { value: Math.atan(fitted), u: (Math.sqrt(n22 / det) * uTan) / (1 + fitted * fitted) },
  };
}
