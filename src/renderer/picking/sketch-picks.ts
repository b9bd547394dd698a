import type { SweepFrame } from "../../shared/measure/readout-from-sweeps.ts";
import type { PxPoint } from "../../shared/quantity/point.ts";
import {
  type BoardSize,
  type Crossing,
  crossingAt,
  outerCrossings,
} from "../../shared/scale/board-crossings.ts";
import type { AppState, Handle, Pick } from "../app-state/app-state.ts";
import type { BoardView } from "../app-state/picked-so-far.ts";
import type { Picked } from "./picked.ts";

/*
 * What is clicked frame by frame to find out about the camera, and is not in the document: edges that sweep
 * across the picture, for the readout, and the crossings of a board, for the lens. What lies on the picture
 * is always of the frame that is shown.
 */
export type SketchPick = Extract<Pick, { kind: "edge" | "crossing" }>;
export type SketchHandle = Extract<Handle, { kind: "edge" | "crossing" }>;

export function isSketchPick(pick: Pick): pick is SketchPick {
  return pick.kind === "edge" || pick.kind === "crossing";
}

export function isSketchHandle(handle: Handle): handle is SketchHandle {
  return handle.kind === "edge" || handle.kind === "crossing";
}

/** The clicks of a sweep in a frame. */
export function sweepIn(sweep: readonly SweepFrame[] | undefined, frame: number): readonly PxPoint[] {
  return sweep?.find((one) => one.frame === frame)?.points ?? [];
}

/** The crossings picked in a frame. */
export function crossingsIn(views: readonly BoardView[], frame: number): readonly Crossing[] {
  return views.find((view) => view.frame === frame)?.points ?? [];
}

/** The outer crossing that the next click in a frame is; null once all four are picked. */
export function nextOuter(size: BoardSize, picked: readonly Crossing[]): number | null {
  const at = outerCrossings(size).findIndex(
    (outer) => !picked.some((one) => one.column === outer.column && one.row === outer.row),
  );
  return at < 0 ? null : at;
}

/** Places what the pick asks for; a click that means no crossing places nothing. */
export function sketchPicked(state: AppState, pick: SketchPick, place: [number, number]): Picked {
  const { sketch, frame } = state;
  if (pick.kind === "edge") {
    const sweep = Math.max(0, sketch.sweeps.length - 1);
    const before = sweepIn(sketch.sweeps[sweep], frame);
    const sweeps = withSweep(sketch.sweeps, sweep, frame, [...before, place]);
    const selected: Handle = { kind: "edge", sweep, at: before.length };
    return { state: { ...state, sketch: { ...sketch, sweeps }, selected }, edit: null };
  }
  const { board } = sketch;
  const picked = crossingsIn(board.views, frame);
  const outer = nextOuter(board, picked);
  const meant = outer === null ? crossingAt(picked, board, place) : (outerCrossings(board)[outer] ?? null);
  if (meant === null) return { state, edit: null };
  const known = picked.findIndex((one) => one.column === meant.column && one.row === meant.row);
  const at = known < 0 ? picked.length : known;
  const points = [...picked];
  points[at] = { ...meant, at: place };
  const selected: Handle = { kind: "crossing", at };
  return { state: withCrossings({ ...state, selected }, points), edit: null };
}

/** Where one lies, picture px; null when it is not in the frame that is shown. */
export function sketchPlace({ sketch, frame }: AppState, handle: SketchHandle): PxPoint | null {
  return handle.kind === "edge"
    ? (sweepIn(sketch.sweeps[handle.sweep], frame)[handle.at] ?? null)
    : (crossingsIn(sketch.board.views, frame)[handle.at]?.at ?? null);
}

/** Moves one. @returns null when it is not in the frame that is shown */
export function sketchMoved(state: AppState, handle: SketchHandle, place: [number, number]): Picked | null {
  if (sketchPlace(state, handle) === null) return null;
  const { sketch, frame } = state;
  const selected: AppState = { ...state, selected: handle };
  if (handle.kind === "edge") {
    const points = sweepIn(sketch.sweeps[handle.sweep], frame).map((at, i) => (i === handle.at ? place : at));
    const sweeps = withSweep(sketch.sweeps, handle.sweep, frame, points);
    return { state: { ...selected, sketch: { ...sketch, sweeps } }, edit: null };
  }
  const points = crossingsIn(sketch.board.views, frame).map((one, i) =>
    i === handle.at ? { ...one, at: place } : one,
  );
  return { state: withCrossings(selected, points), edit: null };
}

/** Takes one off the picture. @returns null when it is not in the frame that is shown */
export function sketchRemoved(state: AppState, handle: SketchHandle): Picked | null {
  if (sketchPlace(state, handle) === null) return null;
  const { sketch, frame } = state;
  const gone: AppState = { ...state, selected: null };
  if (handle.kind === "edge") {
    const points = sweepIn(sketch.sweeps[handle.sweep], frame).filter((_, i) => i !== handle.at);
    const sweeps = withSweep(sketch.sweeps, handle.sweep, frame, points);
    return { state: { ...gone, sketch: { ...sketch, sweeps } }, edit: null };
  }
  const points = crossingsIn(sketch.board.views, frame).filter((_, i) => i !== handle.at);
  return { state: withCrossings(gone, points), edit: null };
}

/** A sweep with other clicks in a frame; a frame without clicks is none of it. */
function withSweep(
  sweeps: readonly (readonly SweepFrame[])[],
  at: number,
  frame: number,
  points: readonly PxPoint[],
): readonly (readonly SweepFrame[])[] {
  const all = sweeps.length === 0 ? [[]] : sweeps;
  const others = (all[at] ?? []).filter((one) => one.frame !== frame);
  const next = points.length === 0 ? others : [...others, { frame, points }];
  return all.map((sweep, i) => (i === at ? next.sort((a, b) => a.frame - b.frame) : sweep));
}

function withCrossings(state: AppState, points: readonly Crossing[]): AppState {
  const { board } = state.sketch;
  const others = board.views.filter((view) => view.frame !== state.frame);
  const views = points.length === 0 ? others : [...others, { frame: state.frame, points }];
  views.sort((a, b) => a.frame - b.frame);
  return { ...state, sketch: { ...state.sketch, board: { ...board, views } } };
}
