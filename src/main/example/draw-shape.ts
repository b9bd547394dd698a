import type { Pixel } from "./example-scene.ts";

/** Outlines in pixels: closed polygons, given by their corners in order; curves come flattened. */
export type Outline = readonly Pixel[];

/** A circle as a polygon fine enough that it stays within 0.01 px of the arc for radii up to 40 px. */
export function circle([cx, cy]: Pixel, radius: number): Outline {
  return pieSlice([cx, cy], radius, 0, 2 * Math.PI);
}

/**
 * The part of a disc between two angles, rad, with the corner at the centre when it is less than the whole.
 */
export function pieSlice([cx, cy]: Pixel, radius: number, from: number, to: number): Outline {
  const whole = to - from >= 2 * Math.PI - 1e-9;
  const n = Math.max(2, Math.ceil(((to - from) / (2 * Math.PI)) * 144));
  const arc: Pixel[] = whole ? [] : [[cx, cy]];
  for (let i = 0; i < n + (whole ? 0 : 1); i++) {
    const angle = from + ((to - from) * i) / n;
    arc.push([cx + radius * Math.cos(angle), cy + radius * Math.sin(angle)]);
  }
  return arc;
}

/** A bar between two points, square at the ends, of one width or tapering to another. */
export function bar(a: Pixel, b: Pixel, widthA: number, widthB = widthA): Outline {
  const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
  const [nx, ny] = [-(b[1] - a[1]) / length / 2, (b[0] - a[0]) / length / 2];
  return [
    [a[0] + nx * widthA, a[1] + ny * widthA],
    [b[0] + nx * widthB, b[1] + ny * widthB],
    [b[0] - nx * widthB, b[1] - ny * widthB],
    [a[0] - nx * widthA, a[1] - ny * widthA],
  ];
}

/**
 * A ribbon of constant width along a line of three or more points, mitred at the joints: for smooth curves.
 */
export function ribbon(line: readonly Pixel[], width: number): Outline {
  const left: Pixel[] = [];
  const right: Pixel[] = [];
  line.forEach(([x, y], i) => {
    const [a, b] = [line[Math.max(0, i - 1)], line[Math.min(line.length - 1, i + 1)]];
    const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
    const [nx, ny] = [((a[1] - b[1]) / length) * (width / 2), ((b[0] - a[0]) / length) * (width / 2)];
    left.push([x + nx, y + ny]);
    right.push([x - nx, y - ny]);
  });
  return [...left, ...right.reverse()];
}

/**
 * A smooth closed outline through the given points (Catmull and Rom's interpolating cubic, 1974); a point
 * given twice in a row makes a sharp corner.
 */
export function smoothOutline(through: readonly Pixel[], closed = true): readonly Pixel[] {
  const n = through.length;
  const at = (i: number) => (closed ? through[(i + n) % n] : through[Math.min(Math.max(i, 0), n - 1)]);
  const result: Pixel[] = [];
  for (let i = 0; i < (closed ? n : n - 1); i++) {
    const [b, c] = [at(i), at(i + 1)];
    if (same(b, c)) continue;
    const a = same(at(i - 1), b) ? mirrored(c, b) : at(i - 1);
    const d = same(at(i + 2), c) ? mirrored(b, c) : at(i + 2);
    for (let k = 0; k < 10; k++) {
      const t = k / 10;
      const along = (j: 0 | 1) =>
        b[j] +
        (t / 2) *
          (c[j] - a[j] + t * (2 * a[j] - 5 * b[j] + 4 * c[j] - d[j] + t * (3 * (b[j] - c[j]) + d[j] - a[j])));
      result.push([along(0), along(1)]);
    }
  }
  if (!closed) result.push(at(n - 1));
  return result;
}

function same(a: Pixel, b: Pixel): boolean {
  return a[0] === b[0] && a[1] === b[1];
}

function mirrored(a: Pixel, about: Pixel): Pixel {
  return [2 * about[0] - a[0], 2 * about[1] - a[1]];
}
