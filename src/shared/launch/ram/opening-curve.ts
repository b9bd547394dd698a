/** How far a valve is open: share of its opening time, share of its full area, both 1. */
export type OpeningPoint = readonly [timeShare: number, areaShare: number];

/**
 * What keeps points from being a valve's opening: which point (from 0), which of its numbers, and
 * what would do.
 */
export interface OpeningProblem {
  readonly point: number;
  readonly of: "time" | "area";
  readonly value: number;
  readonly need: string;
}

/** A valve whose area grows evenly. */
export const EVEN_OPENING: readonly OpeningPoint[] = [
  [0, 0],
  [1, 1],
];

/**
 * The first fault of a valve's opening by points, or null. Two points or more; shares of the opening time
 * rise from 0 to 1; shares of the full area lie from 0 to 1, the last being 1, since the valve's conductance
 * is that of the open valve. In between a valve may close again, as one that bounces does.
 */
export function openingProblem(points: readonly OpeningPoint[]): OpeningProblem | null {
  for (const [i, [time, area]] of points.entries()) {
    const before = points[i - 1];
    const wrong = (of: OpeningProblem["of"], value: number, need: string) => ({ point: i, of, value, need });
    if (before === undefined && time !== 0) return wrong("time", time, "0: it begins with the opening");
    if (before !== undefined && !(time > before[0])) {
      return wrong("time", time, `above ${before[0]}, the one before it`);
    }
    if (!(time <= 1)) return wrong("time", time, "1 or less: it is a share of the opening time");
    if (!(area >= 0 && area <= 1)) return wrong("area", area, "from 0 to 1: it is a share of the full area");
    if (i !== points.length - 1 || i === 0) continue;
    if (time !== 1) return wrong("time", time, "1 at the last point, the end of the opening");
    if (area !== 1) return wrong("area", area, "1 at the last point, where the valve is open");
  }
  return points.length < 2
    ? { point: points.length, of: "time", value: Number.NaN, need: "there: two points or more" }
    : null;
}
