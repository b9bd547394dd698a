import type { GreyImage } from "./grey-image.ts";
import { type Template, turnedValues } from "./template.ts";

/** A place where the picture looks like the template. */
export interface Likeness {
  /** Samples: the best whole place with the parabola's fraction added. */
  readonly x: number;
  readonly y: number;
  /** Normalised cross-correlation at the best whole place, -1 to 1. */
  readonly likeness: number;
}

export interface CoarseSearch {
  readonly best: Likeness;
  /** The best place at least a template's radius away from it; null when the window holds none. */
  readonly second: Likeness | null;
  /** Whether the best place lies on the window's edge, beyond which it may be better still. */
  readonly onEdge: boolean;
  /** Whether the picture's edge cut the window. */
  readonly cut: boolean;
}

/**
 * Searches a square window for the template, turned by theta, by normalised cross-correlation at whole
 * samples, and refines the peak by the parabola through it and its neighbours along each axis: (l -
 * r)/(2 (l - 2 c + r)). The parabola is off by about 0.01 px, good for a start only. Gain and bias of
 * the picture change nothing.
 * Source: Lewis, Vision Interface 95:120 (1995), for the normalised correlation.
 * @param middle of the window, samples; rounded  @param reach whole samples to either side
 * @returns null when no place of the window holds the whole template, or nothing there varies
 */
export function coarseSearch(
  template: Template,
  image: GreyImage,
  middle: readonly [number, number],
  theta: number,
  reach: number,
): CoarseSearch | null {
  const { radius } = template;
  const [cx, cy] = [Math.round(middle[0]), Math.round(middle[1])];
  const left = Math.max(cx - reach, radius);
  const right = Math.min(cx + reach, image.width - 1 - radius);
  const top = Math.max(cy - reach, radius);
  const bottom = Math.min(cy + reach, image.height - 1 - radius);
  if (left > right || top > bottom) return null;
  const unit = unitOf(turnedValues(template, theta));
  if (unit === null) return null;
  const [columns, rows] = [right - left + 1, bottom - top + 1];
  const likeness = likenessIn(template, unit, image, [left, top], columns, rows);
  const best = greatest(likeness, columns, () => true);
  if (best < 0) return null;
  const [bx, by] = [best % columns, Math.floor(best / columns)];
  const far = greatest(likeness, columns, (x, y) => Math.hypot(x - bx, y - by) >= radius);
  const peak = (at: number): Likeness => {
    const [x, y] = [at % columns, Math.floor(at / columns)];
    return {
      x: left + x + (x > 0 && x < columns - 1 ? fraction(likeness, at, 1) : 0),
      y: top + y + (y > 0 && y < rows - 1 ? fraction(likeness, at, columns) : 0),
      likeness: likeness[at],
    };
  };
  return {
    best: peak(best),
    second: far < 0 ? null : peak(far),
    onEdge: bx === 0 || by === 0 || bx === columns - 1 || by === rows - 1,
    cut: left > cx - reach || right < cx + reach || top > cy - reach || bottom < cy + reach,
  };
}

/** Without mean, with unit length; null when it does not vary. */
function unitOf(values: Float64Array): Float64Array | null {
  const mean = values.reduce((sum, one) => sum + one, 0) / values.length;
  const length = Math.sqrt(values.reduce((sum, one) => sum + (one - mean) ** 2, 0));
  return length > 0 ? values.map((one) => (one - mean) / length) : null;
}

/** The rows of a template without a gap: where each begins, and how many samples it has; [3 · rows]. */
function rowsOf({ dx, dy }: Template): Int32Array {
  const rows: number[] = [];
  for (let i = 0; i < dx.length; i++) {
    const goesOn = i > 0 && dy[i] === dy[i - 1] && dx[i] === dx[i - 1] + 1;
    if (goesOn) rows[rows.length - 1]++;
    else rows.push(dx[i], dy[i], 1);
  }
  return Int32Array.from(rows);
}

/**
 * The correlation at each place of a window, row by row. Sums of the grey levels and of their squares come
 * from sums along each row of the piece of the picture, so that only the product with the template is made
 * sample by sample.
 * @param origin the window's first place
 */
function likenessIn(
  template: Template,
  unit: Float64Array,
  { data, width }: GreyImage,
  [left, top]: readonly [number, number],
  columns: number,
  rows: number,
): Float64Array {
  const { radius } = template;
  const [wide, high] = [columns + 2 * radius, rows + 2 * radius];
  const grey = new Float64Array(wide * high);
  // One more in each row: what lies before the first sample.
  const [sums, squares] = [new Float64Array((wide + 1) * high), new Float64Array((wide + 1) * high)];
  for (let y = 0; y < high; y++) {
    const from = (top - radius + y) * width + left - radius;
    let sum = 0;
    let square = 0;
    for (let x = 0; x < wide; x++) {
      const value = data[from + x];
      grey[y * wide + x] = value;
      sum += value;
      square += value * value;
      sums[y * (wide + 1) + x + 1] = sum;
      squares[y * (wide + 1) + x + 1] = square;
    }
  }
  const lines = rowsOf(template);
  const likeness = new Float64Array(columns * rows);
  for (let y = 0; y < rows; y++) {
    for (let x = 0; x < columns; x++) {
      let sum = 0;
      let square = 0;
      let product = 0;
      let i = 0;
      for (let line = 0; line < lines.length; line += 3) {
        const u = x + radius + lines[line];
        const v = y + radius + lines[line + 1];
        const count = lines[line + 2];
        const before = v * (wide + 1) + u;
        sum += sums[before + count] - sums[before];
        square += squares[before + count] - squares[before];
        const end = v * wide + u + count;
        for (let at = v * wide + u; at < end; at++) product += grey[at] * unit[i++];
      }
      const spread = square - (sum * sum) / unit.length;
      likeness[y * columns + x] = spread > 1e-9 * square ? product / Math.sqrt(spread) : 0;
    }
  }
  return likeness;
}

function greatest(values: Float64Array, columns: number, takes: (x: number, y: number) => boolean): number {
  let best = -1;
  for (let at = 0; at < values.length; at++) {
    if (best >= 0 && values[at] <= values[best]) continue;
    if (takes(at % columns, Math.floor(at / columns))) best = at;
  }
  return best;
}

function fraction(values: Float64Array, at: number, step: number): number {
  const [l, c, r] = [values[at - step], values[at], values[at + step]];
  const bend = l - 2 * c + r;
  return bend < 0 ? Math.max(-0.5, Math.min(0.5, (l - r) / (2 * bend))) : 0;
}
