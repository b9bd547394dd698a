/** The strip |p + q z - middle| <= half of the plane (p, q). */
export interface Strip {
  readonly z: number;
  readonly middle: number;
  readonly half: number;
}

/** Corners [p, q] of a convex polygon, in order round it. */
export type Polygon = readonly (readonly [number, number])[];

/** The parallelogram that two strips have in common. @throws RangeError when they are parallel */
export function stripCorners(a: Strip, b: Strip): Polygon {
  if (a.z === b.z) throw new RangeError(`stripCorners: both strips have z = ${a.z}`);
  const corner = (sideA: number, sideB: number): readonly [number, number] => {
    const q = (b.middle + sideB * b.half - a.middle - sideA * a.half) / (b.z - a.z);
    return [a.middle + sideA * a.half - q * a.z, q];
  };
  return [corner(-1, -1), corner(1, -1), corner(1, 1), corner(-1, 1)];
}

/**
 * What a strip leaves of a convex polygon; [] for nothing. Source: Sutherland & Hodgman,
 * Comm. ACM 17, 32 (1974).
 */
export function clippedByStrip(polygon: Polygon, { z, middle, half }: Strip): Polygon {
  const below = clipped(polygon, ([p, q]) => middle + half - p - q * z);
  return clipped(below, ([p, q]) => p + q * z - middle + half);
}

/** Keeps the part where `inside` >= 0, a linear function. */
function clipped(polygon: Polygon, inside: (corner: readonly [number, number]) => number): Polygon {
  return polygon.flatMap((to, i) => {
    const from = polygon.at(i - 1) as readonly [number, number];
    const [a, b] = [inside(from), inside(to)];
    const kept: (readonly [number, number])[] = [];
    if (a < 0 !== b < 0) {
      const share = a / (a - b);
      kept.push([from[0] + share * (to[0] - from[0]), from[1] + share * (to[1] - from[1])]);
    }
    if (b >= 0) kept.push(to);
    return kept;
  });
}

/**
 * Mean and standard deviation of q over a convex polygon of even density, by triangles from its first corner;
 * null when it has no area.
 */
export function momentsOf(polygon: Polygon): { readonly meanQ: number; readonly sdQ: number } | null {
  const [origin, ...rest] = polygon;
  if (origin === undefined || rest.length < 2) return null;
  let [area, first, second] = [0, 0, 0];
  for (let i = 0; i + 1 < rest.length; i++) {
    const [[p1, q1], [p2, q2]] = [rest[i], rest[i + 1]] as [
      readonly [number, number],
      readonly [number, number],
    ];
    const [a, b] = [q1 - origin[1], q2 - origin[1]];
    const piece = Math.abs((p1 - origin[0]) * b - (p2 - origin[0]) * a) / 2;
    area += piece;
    first += (piece * (a + b)) / 3;
    second += (piece * (a * a + a * b + b * b)) / 6;
  }
  if (!(area > 0)) return null;
  const mean = first / area;
  return { meanQ: origin[1] + mean, sdQ: Math.sqrt(Math.max(0, second / area - mean * mean)) };
}
