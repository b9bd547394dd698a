import { lastOf } from "../../quantity/known-element.ts";

/** A point of a line's force-extension table: m stretched beyond the length at rest, N. */
export type ForcePoint = readonly [extensionM: number, forceN: number];

/**
 * Force against extension of one line, and the energy under it. Defined from 0 to `lastM`;
 * outside, the ends' values hold.
 */
export interface ElasticCurve {
  /** m, where the table ends. */
  readonly lastM: number;
  /**
   * m, the table's extensions. Between two of them the force is one cubic, and lies between their two forces.
   */
  readonly knotsM: readonly number[];
  force(extensionM: number): number;
  /** J, ∫ F dx from 0: exact, a quartic between knots. */
  energy(extensionM: number): number;
}

/**
 * What keeps a table from being a force-extension curve: which point (from 0), which of its
 * numbers, and what would do.
 */
export interface TableProblem {
  readonly point: number;
  readonly of: "extension" | "force";
  readonly value: number;
  readonly need: string;
}

/**
 * The first fault of a force-extension table, or null. Two points or more; extensions rise
 * from 0; a line never pushes.
 */
export function tableProblem(points: readonly ForcePoint[]): TableProblem | null {
  for (const [i, [x, f]] of points.entries()) {
    const before = points[i - 1];
    if (before === undefined && x !== 0) {
      return { point: i, of: "extension", value: x, need: "0: the table begins with the line at rest" };
    }
    if (before !== undefined && !(x > before[0] && x < Infinity)) {
      return { point: i, of: "extension", value: x, need: `above ${before[0]} m, the one before it` };
    }
    if (!(f >= 0 && f < Infinity))
      return { point: i, of: "force", value: f, need: "0 or more: a line only pulls" };
  }
  return points.length < 2
    ? { point: points.length, of: "extension", value: Number.NaN, need: "there: two points or more" }
    : null;
}

/**
 * The curve through a table of forces by monotone cubic interpolation. Straight lines would lose energy
 * wherever rubber's curve is hollow and gain it where it bulges; an ordinary cubic spline swings past
 * the points where rubber stiffens. This one keeps between each two points, has a continuous slope,
 * follows a table on a straight line exactly, and integrates exactly. Slopes: weighted harmonic means
 * inside, three-point at the ends, kept from overshooting. Sources: F. N. Fritsch & R. E. Carlson, SIAM
 * J. Numer. Anal. 17 (1980) 238 (what is monotone); F. N. Fritsch & J. Butland, SIAM J. Sci. Stat.
 * Comput. 5 (1984) 300 (slopes).
 * @throws RangeError when `tableProblem` finds a fault
 */
export function elasticCurve(points: readonly ForcePoint[]): ElasticCurve {
  const problem = tableProblem(points);
  if (problem !== null) {
    throw new RangeError(
      `elasticCurve: ${problem.of} of point ${problem.point} must be ${problem.need}; got ${problem.value}`,
    );
  }
  const x = points.map(([extension]) => extension);
  const f = points.map(([, force]) => force);
  const h = x.slice(1).map((end, i) => end - x[i]);
  const rise = h.map((width, i) => (f[i + 1] - f[i]) / width);
  const slope = slopesOf(h, rise);
  // On piece i, with s from its start: F = f + a s + b s² + c s³.
  const pieces = h.map((width, i) => ({
    a: slope[i],
    b: (3 * rise[i] - 2 * slope[i] - slope[i + 1]) / width,
    c: (slope[i] + slope[i + 1] - 2 * rise[i]) / width ** 2,
  }));
  const below = [0];
  for (const [i, width] of h.entries()) below.push(below[i] + energyOn(i, width));
  const lastM = lastOf(x);

  function energyOn(i: number, s: number): number {
    const { a, b, c } = pieces[i];
    return s * (f[i] + s * (a / 2 + s * (b / 3 + (s * c) / 4)));
  }
  function pieceAt(extension: number): number {
    let [low, high] = [0, h.length - 1];
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if (x[middle] <= extension) low = middle;
      else high = middle - 1;
    }
    return low;
  }
  const within = (extension: number) => Math.min(lastM, Math.max(0, extension));
  return {
    lastM,
    knotsM: x,
    force(extensionM) {
      const at = within(extensionM);
      const i = pieceAt(at);
      const s = at - x[i];
      const { a, b, c } = pieces[i];
      return f[i] + s * (a + s * (b + s * c));
    },
    energy(extensionM) {
      const at = within(extensionM);
      const i = pieceAt(at);
      return below[i] + energyOn(i, at - x[i]);
    },
  };
}

/**
 * J under straight lines through a table from its start to an extension: what `elasticCurve` is held against.
 */
export function energyByLines(points: readonly ForcePoint[], extensionM: number): number {
  return points.slice(1).reduce((sum, [x, f], i) => {
    const [x0, f0] = points[i];
    if (extensionM <= x0) return sum;
    const width = Math.min(x, extensionM) - x0;
    return sum + width * (f0 + ((f - f0) * width) / (2 * (x - x0)));
  }, 0);
}

function slopesOf(h: readonly number[], rise: readonly number[]): readonly number[] {
  if (h.length === 1) return [rise[0], rise[0]];
  const inner = h.slice(1).map((after, i) => {
    const before = h[i];
    const [left, right] = [rise[i], rise[i + 1]];
    if (left * right <= 0) return 0;
    const [w1, w2] = [2 * after + before, after + 2 * before];
    return (w1 + w2) / (w1 / left + w2 / right);
  });
  return [
    endSlope(h[0], h[1], rise[0], rise[1]),
    ...inner,
    endSlope(lastOf(h), h.at(-2)!, lastOf(rise), rise.at(-2)!),
  ];
}

/** Three-point slope at an end, set to 0 or cut to three rises where it would overshoot. */
function endSlope(h: number, hNext: number, rise: number, riseNext: number): number {
  const slope = ((2 * h + hNext) * rise - h * riseNext) / (h + hNext);
  if (slope * rise <= 0) return 0;
  return rise * riseNext <= 0 && Math.abs(slope) > 3 * Math.abs(rise) ? 3 * rise : slope;
}
