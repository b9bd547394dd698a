import type { SweepFrame } from "../../shared/measure/readout-from-sweeps.ts";
import type { Measured } from "../../shared/quantity/measured.ts";
import type { PxPoint } from "../../shared/quantity/point.ts";
import type { BoardSize, Crossing } from "../../shared/scale/board-crossings.ts";

/** Picked ends that cannot be in the document yet: a rod without a length is no scale, one end is no line. */
export interface PendingPicks {
  readonly scaleA: PxPoint | null;
  readonly scaleB: PxPoint | null;
  readonly plumbTop: PxPoint | null;
  readonly rodM: Measured | null;
  /** the first end of a further rod or the level */
  readonly first: PxPoint | null;
  /** px, u of the rod's ends that were taken from the picture */
  readonly foundU: Readonly<Partial<Record<"scaleA" | "scaleB", number>>>;
  /** the frames in which those that are there were picked */
  readonly frames: Readonly<Partial<Record<"scaleA" | "scaleB" | "plumbTop" | "first", number>>>;
}
export const NO_PICKS: PendingPicks = {
  scaleA: null,
  scaleB: null,
  plumbTop: null,
  rodM: null,
  first: null,
  foundU: {},
  frames: {},
};

/** A known point of the plane that is not whole yet. */
export interface DraftPoint {
  readonly at: PxPoint;
  readonly frame: number;
  readonly xM: number | null;
  readonly yM: number | null;
}

/** The crossings of a board that are picked in one frame. */
export interface BoardView {
  readonly frame: number;
  readonly points: readonly Crossing[];
}

/**
 * What is drawn for a purpose and kept while the shot is in the window: known points not yet whole, points
 * along straight lines, edges that sweep across the picture, the crossings of a board.
 */
export interface Sketch {
  readonly control: readonly DraftPoint[];
  /** the last line is the one being drawn */
  readonly lines: readonly (readonly PxPoint[])[];
  /** the last sweep is the one being drawn */
  readonly sweeps: readonly (readonly SweepFrame[])[];
  readonly board: BoardSize & { readonly views: readonly BoardView[] };
}
export const NO_SKETCH: Sketch = {
  control: [],
  lines: [],
  sweeps: [],
  board: { columns: 8, rows: 5, views: [] },
};
