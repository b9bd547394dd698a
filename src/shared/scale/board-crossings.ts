import type { PxPoint } from "../quantity/point.ts";
import {
  denormalisedMatrix,
  directLinear,
  normalised,
  normaliserOf,
  project,
  unproject,
} from "./homography-map.ts";

/** Crossings of a board's fields: how many there are across and down. */
export interface BoardSize {
  readonly columns: number;
  readonly rows: number;
}

/** A crossing by its column and row from the board's own top left, and where it was picked. */
export interface Crossing {
  readonly column: number;
  readonly row: number;
  readonly at: PxPoint;
}

/** The four outer crossings in the order in which they are picked: once round from the top left. */
export function outerCrossings({ columns, rows }: BoardSize): readonly Omit<Crossing, "at">[] {
  return [
    { column: 0, row: 0 },
    { column: columns - 1, row: 0 },
    { column: columns - 1, row: rows - 1 },
    { column: 0, row: rows - 1 },
  ];
}

const NEAR = 0.35; // of a field: farther from every crossing a click could mean either neighbour

/**
 * The crossing that a click means, by the perspective of those picked before.
 * @param picked four or more, the outer ones among them
 * @returns null when the click is off the board, or in the middle of a field
 */
export function crossingAt(
  picked: readonly Crossing[],
  { columns, rows }: BoardSize,
  at: PxPoint,
): Omit<Crossing, "at"> | null {
  const h = boardToPicture(picked);
  if (h === null) return null;
  const [x, y] = unproject(h, at).at;
  const [column, row] = [Math.round(x) + 0, Math.round(y) + 0]; // + 0: no negative zero
  const near = Math.hypot(x - column, y - row) <= NEAR;
  return near && column >= 0 && row >= 0 && column < columns && row < rows ? { column, row } : null;
}

/** Where each crossing that is not picked yet should be seen, by the perspective of those that are. */
export function crossingsToCome(picked: readonly Crossing[], size: BoardSize): readonly Crossing[] {
  const h = boardToPicture(picked);
  if (h === null) return [];
  const there = new Set(picked.map(({ column, row }) => row * size.columns + column));
  return Array.from({ length: size.columns * size.rows }, (_, i) => i)
    .filter((i) => !there.has(i))
    .map((i) => {
      const [column, row] = [i % size.columns, Math.floor(i / size.columns)];
      return { column, row, at: project(h, [column, row]).at };
    });
}

/**
 * The homography from columns and rows to px, by the direct linear transform; null under four crossings
 * or when they are in line.
 */
function boardToPicture(picked: readonly Crossing[]): Float64Array | null {
  if (picked.length < 4) return null;
  const places = picked.map(({ column, row }) => [column, row] as const);
  const seen = picked.map(({ at }) => at);
  const [byPlace, byPx] = [normaliserOf(places), normaliserOf(seen)];
  const h = directLinear(
    places.map((one) => normalised(byPlace, one)),
    seen.map((one) => normalised(byPx, one)),
  );
  if (h === null) return null;
  const full = denormalisedMatrix([...h, 1], byPlace, byPx);
  const last = full[8];
  return Math.abs(last) < 1e-12 ? null : full.subarray(0, 8).map((value) => value / last);
}
