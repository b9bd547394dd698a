import type { Outline } from "./draw-shape.ts";
import type { Pixel } from "./example-scene.ts";

/**
 * A part of the picture in luma and colour difference (BT.709, 16 to 235), not yet
 * rounded; rows from the top.
 */
export interface Canvas {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
  readonly y: Float32Array;
  readonly cb: Float32Array;
  readonly cr: Float32Array;
  /** Where a place that is drawn comes to lie; straight lines stay straight. Null when it stays. */
  readonly view: ((place: Pixel) => Pixel) | null;
}

export type Colour = readonly [y: number, cb: number, cr: number];

/** One colour, or a straight run from one colour at `from` to the next at even steps up to `to`. */
export type Paint =
  | Colour
  | { readonly from: Pixel; readonly to: Pixel; readonly colours: readonly Colour[] };

export function makeCanvas(
  left: number,
  top: number,
  width: number,
  height: number,
  view: Canvas["view"] = null,
): Canvas {
  const n = width * height;
  return {
    left,
    top,
    width,
    height,
    y: new Float32Array(n),
    cb: new Float32Array(n),
    cr: new Float32Array(n),
    view,
  };
}

/**
 * A colour of the screen, "#rrggbb", as luma and colour difference: ITU-R BT.709-6, item 3, quantised range.
 */
export function colour(hex: string): Colour {
  const [r, g, b] = [1, 3, 5].map((i) => Number.parseInt(hex.slice(i, i + 2), 16) / 255) as [
    number,
    number,
    number,
  ];
  const luma = 0.2126 * r + 0.7152 * g + 0.0722 * b;
  return [16 + 219 * luma, 128 + (224 * (b - luma)) / 1.8556, 128 + (224 * (r - luma)) / 1.5748];
}

export function mixed(a: Colour, b: Colour, share: number): Colour {
  return [a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share, a[2] + (b[2] - a[2]) * share];
}

/**
 * Fills an outline with exact area coverage at its edges: each edge adds the area it cuts from every
 * pixel to a table of differences, and the running sum along a row is the coverage. Parts outside
 * the canvas are left out.
 */
export function fill(canvas: Canvas, drawn: Outline, paint: Paint, alpha = 1): void {
  const outline = canvas.view === null ? drawn : drawn.map(canvas.view);
  const xs = outline.map((p) => p[0]);
  const ys = outline.map((p) => p[1]);
  const left = Math.floor(Math.min(...xs));
  const top = Math.floor(Math.min(...ys));
  const width = Math.ceil(Math.max(...xs)) - left + 2;
  const height = Math.ceil(Math.max(...ys)) - top;
  const cover = coverage(outline, left, top, width, height);
  const { colours, along } = shades(paint, canvas.view);
  const last = colours.length - 1;
  const rowFrom = Math.max(top, canvas.top);
  const rowTo = Math.min(top + height, canvas.top + canvas.height);
  const columnTo = Math.min(left + width, canvas.left + canvas.width);
  for (let row = rowFrom; row < rowTo; row++) {
    let sum = 0;
    const line = (row - top) * width - left;
    const into = (row - canvas.top) * canvas.width - canvas.left;
    const place = along.start + along.perX * 0.5 + along.perY * (row + 0.5);
    for (let x = left; x < columnTo; x++) {
      sum += cover[line + x];
      if (x < canvas.left) continue;
      const share = Math.min(1, Math.abs(sum)) * alpha;
      if (share < 1e-4) continue;
      const shade = colours[last === 0 ? 0 : Math.round(Math.min(last, Math.max(0, place + along.perX * x)))];
      const i = into + x;
      canvas.y[i] = canvas.y[i] + (shade[0] - canvas.y[i]) * share;
      canvas.cb[i] = canvas.cb[i] + (shade[1] - canvas.cb[i]) * share;
      canvas.cr[i] = canvas.cr[i] + (shade[2] - canvas.cr[i]) * share;
    }
  }
}

const SHADES = 64;

/** The colours of a paint in even steps, and the step at a pixel as start + perX x + perY y. */
function shades(
  paint: Paint,
  view: Canvas["view"],
): {
  colours: readonly Colour[];
  along: { start: number; perX: number; perY: number };
} {
  if (!("from" in paint)) return { colours: [paint], along: { start: 0, perX: 0, perY: 0 } };
  const { colours } = paint;
  const [from, to] = view === null ? [paint.from, paint.to] : [view(paint.from), view(paint.to)];
  const [dx, dy] = [to[0] - from[0], to[1] - from[1]];
  const scale = SHADES / (dx * dx + dy * dy);
  const steps = Array.from({ length: SHADES + 1 }, (_, i) => {
    const place = (i / SHADES) * (colours.length - 1);
    const first = Math.min(Math.floor(place), colours.length - 2);
    return mixed(colours[first], colours[first + 1], place - first);
  });
  return {
    colours: steps,
    along: { start: -(from[0] * dx + from[1] * dy) * scale, perX: dx * scale, perY: dy * scale },
  };
}

let table = new Float32Array(0);

/**
 * Differences along each row of the signed area an outline covers. The table is used again by the next call.
 */
function coverage(outline: Outline, left: number, top: number, width: number, height: number): Float32Array {
  const n = width * height;
  if (table.length < n) table = new Float32Array(n);
  table.fill(0, 0, n);
  for (let i = 0; i < outline.length; i++) {
    const [a, b] = [outline[i], outline[(i + 1) % outline.length]];
    if (a[1] === b[1]) continue;
    const down = a[1] < b[1];
    const [upper, lower] = down ? [a, b] : [b, a];
    addEdge(width, upper[0] - left, upper[1] - top, lower[0] - left, lower[1] - top, down ? 1 : -1);
  }
  return table;
}

/**
 * One edge from (x0, y0) down to (x1, y1), y0 < y1, row by row; in a row it is a trapezium cut
 * from each pixel it meets.
 */
function addEdge(width: number, x0: number, y0: number, x1: number, y1: number, sign: number): void {
  const slope = (x1 - x0) / (y1 - y0);
  let x = x0;
  for (let row = Math.floor(y0); row < Math.ceil(y1); row++) {
    const dy = Math.min(row + 1, y1) - Math.max(row, y0);
    const next = x + slope * dy;
    const d = dy * sign;
    const [a, b] = x < next ? [x, next] : [next, x];
    const first = Math.floor(a);
    const last = Math.ceil(b);
    const at = row * width;
    if (last <= first + 1) {
      const inside = (a + b) / 2 - first;
      table[at + first] += d * (1 - inside);
      table[at + first + 1] += d * inside;
    } else {
      // Cumulated area of the trapezium left of each pixel border, as differences of the integral of a ramp.
      const perPx = d / (b - a);
      let covered = 0;
      let before = 0;
      for (let i = first; i < last; i++) {
        const ramp = (edge: number) => Math.max(0, Math.min(edge, b) - a);
        const full = d * Math.max(0, i + 1 - b);
        const area = (perPx * (ramp(i + 1) ** 2 - ramp(i) ** 2)) / 2 + full;
        table[at + i] += area - before;
        covered += area - before;
        before = area;
      }
      table[at + last] += d - covered;
    }
    x = next;
  }
}
