import type { GreyImage } from "./grey-image.ts";
import { type Template, turnedValues } from "./template.ts";

const ABREAST = 4; // places whose products with the template are made at once

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
  let sum = 0;
  for (let i = 0; i < values.length; i++) sum += values[i];
  const mean = sum / values.length;
  let squares = 0;
  for (let i = 0; i < values.length; i++) squares += (values[i] - mean) ** 2;
  const length = Math.sqrt(squares);
  if (!(length > 0)) return null;
  const unit = new Float64Array(values.length);
  for (let i = 0; i < unit.length; i++) unit[i] = (values[i] - mean) / length;
  return unit;
}

/**
 * The rows of a template without a gap: where each begins in a piece, and where it ends, of a template whose
 * square begins at the piece's first sample; [2 · rows].
 */
function linesIn({ dx, dy, radius }: Template, pitch: number): Int32Array {
  const ends: number[] = [];
  for (let i = 0; i < dx.length; i++) {
    const at = (dy[i] + radius) * pitch + dx[i] + radius;
    if (at === ends.at(-1)) ends[ends.length - 1]++;
    else ends.push(at, at + 1);
  }
  return Int32Array.from(ends);
}

/** The piece of a picture that a window's templates reach over. */
interface Piece {
  /** Samples from one of its rows to the next: places past the window's last come out of zeros. */
  readonly pitch: number;
  readonly grey: Float64Array;
  /** Of the grey levels and their squares up to each sample of a row, it left out; [pitch · high]. */
  readonly sums: Float64Array;
  readonly squares: Float64Array;
}

function pieceOf({ data, width }: GreyImage, left: number, top: number, wide: number, high: number): Piece {
  const pitch = wide + ABREAST;
  const [grey, sums, squares] = [0, 0, 0].map(() => new Float64Array(pitch * high));
  for (let y = 0; y < high; y++) {
    const from = (top + y) * width + left;
    let sum = 0;
    let square = 0;
    for (let x = 0; x < wide; x++) {
      const value = data[from + x];
      const at = y * pitch + x;
      grey[at] = value;
      sum += value;
      square += value * value;
      sums[at + 1] = sum;
      squares[at + 1] = square;
    }
  }
  return { pitch, grey, sums, squares };
}

/**
 * The correlation at each place of a window, row by row. Sums of the grey levels and of their squares come
 * from sums along each row of the piece of the picture, so that only the product with the template is made
 * sample by sample; that of four places side by side at once, which do not wait for one another.
 * @param origin the window's first place
 */
function likenessIn(
  template: Template,
  unit: Float64Array,
  image: GreyImage,
  [left, top]: readonly [number, number],
  columns: number,
  rows: number,
): Float64Array {
  const { radius } = template;
  const piece = pieceOf(image, left - radius, top - radius, columns + 2 * radius, rows + 2 * radius);
  const lines = linesIn(template, piece.pitch);
  const likeness = new Float64Array(columns * rows);
  const four = new Float64Array(ABREAST);
  for (let y = 0; y < rows; y++) {
    for (let x = 0; x < columns; x += ABREAST) {
      productsAt(piece, lines, unit, y * piece.pitch + x, four);
      for (let k = 0; k < ABREAST && x + k < columns; k++) {
        const spread = spreadAt(piece, lines, unit.length, y * piece.pitch + x + k);
        likeness[y * columns + x + k] = spread > 0 ? four[k] / Math.sqrt(spread) : 0;
      }
    }
  }
  return likeness;
}

/** The template's products with the piece at a place and at the next three. */
function productsAt(
  { grey }: Piece,
  lines: Int32Array,
  unit: Float64Array,
  place: number,
  into: Float64Array,
): void {
  let [p0, p1, p2, p3] = [0, 0, 0, 0];
  let i = 0;
  for (let line = 0; line < lines.length; line += 2) {
    const end = place + lines[line + 1];
    for (let at = place + lines[line]; at < end; at++) {
      const by = unit[i++];
      p0 += grey[at] * by;
      p1 += grey[at + 1] * by;
      p2 += grey[at + 2] * by;
      p3 += grey[at + 3] * by;
    }
  }
  into[0] = p0;
  into[1] = p1;
  into[2] = p2;
  into[3] = p3;
}

/** Squares of the grey levels about their mean, summed under the template; 0 where they do not vary. */
function spreadAt({ sums, squares }: Piece, lines: Int32Array, n: number, place: number): number {
  let sum = 0;
  let square = 0;
  for (let line = 0; line < lines.length; line += 2) {
    const before = place + lines[line];
    const after = place + lines[line + 1];
    sum += sums[after] - sums[before];
    square += squares[after] - squares[before];
  }
  const spread = square - (sum * sum) / n;
  return spread > 1e-9 * square ? spread : 0;
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
