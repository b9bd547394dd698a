import type { Pair } from "./homography-map.ts";

// all sets of four of these are 1001; more points are thinned to the ones farthest apart
const MOST_POINTS = 14;

/**
 * How far a set of points is from leaving its homography open: of all sets of four, the largest value of the
 * smallest height of the four triangles in it. A homography needs four points of which no three are on one
 * line; near zero, there are no such four.
 * @returns a length in the unit of the points; 0 for fewer than four
 */
export function fourPointHeight(points: readonly Pair[]): number {
  const used = thinned(points);
  const n = used.length;
  let best = 0;
  for (let a = 0; a < n - 3; a++)
    for (let b = a + 1; b < n - 2; b++)
      for (let c = b + 1; c < n - 1; c++) {
        const abc = leastHeight(used[a], used[b], used[c]);
        if (abc <= best) continue;
        for (let d = c + 1; d < n; d++) {
          const [p, q, r, s] = [used[a], used[b], used[c], used[d]];
          best = Math.max(
            best,
            Math.min(abc, leastHeight(p, q, s), leastHeight(p, r, s), leastHeight(q, r, s)),
          );
        }
      }
  return best;
}

/** Twice the area over the longest side. */
function leastHeight(a: Pair, b: Pair, c: Pair): number {
  const area = Math.abs((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]));
  const longest = Math.max(distance(a, b), distance(b, c), distance(a, c));
  return longest > 0 ? area / longest : 0;
}

/** Farthest-point choice: each next point is the one farthest from those already taken. */
function thinned(points: readonly Pair[]): readonly Pair[] {
  if (points.length <= MOST_POINTS) return points;
  const taken = [points[0]];
  while (taken.length < MOST_POINTS) {
    const gaps = points.map((p) => Math.min(...taken.map((t) => distance(p, t))));
    taken.push(points[gaps.indexOf(Math.max(...gaps))]);
  }
  return taken;
}

function distance(a: Pair, b: Pair): number {
  return Math.sqrt((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2);
}
