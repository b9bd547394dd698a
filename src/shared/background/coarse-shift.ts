import type { SampleGrid } from "../numeric/cubic-spline.ts";

/** A picture averaged over squares, to see by how much it has moved as a whole. */
export interface SmallPicture {
  readonly data: Float32Array;
  readonly width: number;
  readonly height: number;
  /** Samples of the full picture along one side of a square. */
  readonly side: number;
}

const MOST_CELLS = 120; // across
const LEAST_OVERLAP = 0.45; // of either side; less says little of a still scene
const SURE = 0.6; // correlation of the two pictures where they lie over each other
const TRIED = 8; // of the likeliest shifts of the halved pictures: fine detail is gone from these
const NEAR = 2; // squares about each, that are tried again

/** Averages over squares such that the picture is some 120 of them across. */
export function smallPicture({ data, width, height }: SampleGrid): SmallPicture {
  const side = Math.max(2, Math.ceil(Math.max(width, height) / MOST_CELLS));
  const [columns, rows] = [Math.floor(width / side), Math.floor(height / side)];
  const small = new Float32Array(columns * rows);
  for (let y = 0; y < rows * side; y++) {
    const row = Math.floor(y / side) * columns;
    for (let column = 0; column < columns; column++) {
      const from = y * width + column * side;
      let sum = 0;
      for (let k = 0; k < side; k++) sum += data[from + k];
      small[row + column] += sum / (side * side);
    }
  }
  return { data: small, width: columns, height: rows, side };
}

/**
 * How far a whole picture has moved, in samples of the full one, good to about a fifth of a square: the shift
 * at which the two are most like each other, light apart. Every shift is tried with the pictures halved, and
 * the likeliest of those again with the pictures themselves.
 * @returns null where no shift makes them alike
 */
export function coarseShift(before: SmallPicture, now: SmallPicture): readonly [number, number] | null {
  if (before.width !== now.width || before.height !== now.height) return null;
  const [reachX, reachY] = reachOf(now);
  let best = { likeness: SURE, dx: 0, dy: 0, found: false };
  for (const [atX, atY] of likeliest(halved(before), halved(now))) {
    for (let dy = Math.max(-reachY, atY - NEAR); dy <= Math.min(reachY, atY + NEAR); dy++) {
      for (let dx = Math.max(-reachX, atX - NEAR); dx <= Math.min(reachX, atX + NEAR); dx++) {
        const likeness = likenessAt(before, now, dx, dy);
        if (likeness > best.likeness) best = { likeness, dx, dy, found: true };
      }
    }
  }
  if (!best.found) return null;
  const { dx, dy, likeness } = best;
  const along = peak(likenessAt(before, now, dx - 1, dy), likeness, likenessAt(before, now, dx + 1, dy));
  const down = peak(likenessAt(before, now, dx, dy - 1), likeness, likenessAt(before, now, dx, dy + 1));
  return [(dx + along) * now.side, (dy + down) * now.side];
}

/** Squares that a picture may have moved by, either way. */
function reachOf({ width, height }: SmallPicture): readonly [number, number] {
  return [Math.floor((1 - LEAST_OVERLAP) * width), Math.floor((1 - LEAST_OVERLAP) * height)];
}

function halved({ data, width, height, side }: SmallPicture): SmallPicture {
  const [columns, rows] = [width >> 1, height >> 1];
  const half = new Float32Array(columns * rows);
  for (let y = 0; y < rows; y++) {
    for (let x = 0; x < columns; x++) {
      const at = 2 * y * width + 2 * x;
      half[y * columns + x] = (data[at] + data[at + 1] + data[at + width] + data[at + width + 1]) / 4;
    }
  }
  return { data: half, width: columns, height: rows, side: 2 * side };
}

/** The shifts of two halved pictures that beat their neighbours, the likeliest first, in whole squares. */
function likeliest(before: SmallPicture, now: SmallPicture): readonly (readonly [number, number])[] {
  const [reachX, reachY] = reachOf(now);
  const [columns, rows] = [2 * reachX + 1, 2 * reachY + 1];
  const all = new Float64Array(columns * rows);
  for (let row = 0; row < rows; row++) {
    for (let column = 0; column < columns; column++) {
      all[row * columns + column] = likenessAt(before, now, column - reachX, row - reachY);
    }
  }
  const tops: number[] = [];
  for (let at = 0; at < all.length; at++) {
    const column = at % columns;
    const beside = [at - columns, at + columns];
    if (column > 0) beside.push(at - 1);
    if (column < columns - 1) beside.push(at + 1);
    if (beside.every((other) => !(all[other] > all[at]))) tops.push(at);
  }
  return tops
    .sort((a, b) => all[b] - all[a])
    .slice(0, TRIED)
    .map((at) => [2 * ((at % columns) - reachX), 2 * (Math.floor(at / columns) - reachY)] as const);
}

/** Correlation of what two pictures both show when the second has moved by whole squares. */
function likenessAt(before: SmallPicture, now: SmallPicture, dx: number, dy: number): number {
  const { width, height } = now;
  const [left, right] = [Math.max(0, dx), Math.min(width, width + dx)];
  const [top, bottom] = [Math.max(0, dy), Math.min(height, height + dy)];
  let [sa, sb, aa, bb, ab] = [0, 0, 0, 0, 0];
  for (let y = top; y < bottom; y++) {
    const [rowNow, rowBefore] = [y * width, (y - dy) * width - dx];
    for (let x = left; x < right; x++) {
      const [a, b] = [before.data[rowBefore + x], now.data[rowNow + x]];
      sa += a;
      sb += b;
      aa += a * a;
      bb += b * b;
      ab += a * b;
    }
  }
  const n = (right - left) * (bottom - top);
  const spread = (aa - (sa * sa) / n) * (bb - (sb * sb) / n);
  return spread > 0 ? (ab - (sa * sb) / n) / Math.sqrt(spread) : 0;
}

/** Where the top of a parabola through three values lies, between -1/2 and 1/2. */
function peak(left: number, middle: number, right: number): number {
  const bend = left - 2 * middle + right;
  return bend < 0 ? Math.max(-0.5, Math.min(0.5, (left - right) / (2 * bend))) : 0;
}
