import type { KeyPress } from "../actions/keys.ts";
/** A cell of the table by its place on the screen. */
export interface CellPlace {
  readonly row: number;
  readonly column: number;
}

/** The cell so many rows down and columns to the right, held inside the table; infinite goes to its edge. */
export function movedPlace(
  { row, column }: CellPlace,
  [down, right]: readonly [number, number],
  size: { readonly rows: number; readonly columns: number },
): CellPlace {
  return { row: held(row + down, size.rows), column: held(column + right, size.columns) };
}

function held(at: number, count: number): number {
  return Math.max(0, Math.min(at, count - 1));
}

/** Ids of the two cells before the columns: one leads to the shot, one chooses it for the curves. */
export const OPEN = "open";
export const CHOOSE = "choose";

/** What a key asks for in the table. */
export type CellCommand =
  | { readonly kind: "go"; readonly by: readonly [number, number] }
  /** begins an entry that the key's character goes into */
  | { readonly kind: "type" }
  | { readonly kind: "edit" }
  | { readonly kind: "choose" }
  | { readonly kind: "open" };

const WAYS: Readonly<Record<string, readonly [number, number]>> = {
  ArrowUp: [-1, 0],
  ArrowDown: [1, 0],
  ArrowLeft: [0, -1],
  ArrowRight: [0, 1],
  PageUp: [-10, 0],
  PageDown: [10, 0],
  Home: [0, Number.NEGATIVE_INFINITY],
  End: [0, Number.POSITIVE_INFINITY],
};

/** In a cell: arrows move, Enter and F2 change it or open the shot, Space chooses the row. */
export function commandInCell(press: KeyPress, id: string, editable: boolean): CellCommand | null {
  const { key } = press;
  if (press.ctrlKey || press.metaKey || press.altKey) return null;
  const by = WAYS[key];
  if (by !== undefined) return { kind: "go", by };
  if (key === " ") return { kind: "choose" };
  if (key === "Enter" || key === "F2") {
    if (editable) return { kind: "edit" };
    return { kind: id === CHOOSE ? "choose" : "open" };
  }
  return key.length === 1 && editable ? { kind: "type" } : null;
}

/**
 * In an entry: Enter goes on below, Tab beside, Escape leaves it; all other keys are the entry's.
 * @param leaves whether Tab goes on from the last entry of the cell, or back from its first
 */
export function commandInEntry({ key, shiftKey }: KeyPress, leaves: boolean): CellCommand | null {
  if (key === "Escape") return { kind: "go", by: [0, 0] };
  if (key === "Enter") return { kind: "go", by: [1, 0] };
  return key === "Tab" && leaves ? { kind: "go", by: [0, shiftKey ? -1 : 1] } : null;
}
