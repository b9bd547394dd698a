import type { Measured } from "../../shared/quantity/measured.ts";
import type { PxPoint } from "../../shared/quantity/point.ts";
import { applyEdit } from "../../shared/session/edits.ts";
import type { Mark, Plumb, Scale, Shot } from "../../shared/session/schema.ts";
import { type AppState, atFrame, factsOf, type Handle, markAt, shotOf } from "../app-state/app-state.ts";
import { rodField } from "../app-state/asked-fields.ts";
import type { PendingPicks } from "../app-state/picked-so-far.ts";
import { pointsInView } from "../app-state/things-in-view.ts";
import { byHand, HAND_U_PX, HANG_U_RAD, oneEndByHand, type Picked, rounded } from "./picked.ts";
import {
  isReference,
  referenceMoved,
  referencePicked,
  referencePlace,
  referenceRemoved,
} from "./reference-picks.ts";
import {
  isSketchHandle,
  isSketchPick,
  sketchMoved,
  sketchPicked,
  sketchPlace,
  sketchRemoved,
} from "./sketch-picks.ts";

/** Whether what the current pick places can be the middle of a target. */
export function takesTargets({ pick }: AppState): boolean {
  return pick?.kind === "mark" || pick?.kind === "scale";
}

/**
 * Places what the current pick asks for at a place of the picture. Without a pick nothing happens.
 * @param foundU px, u of the place where it was found in the picture; null when a hand places it
 */
export function pickedAt(state: AppState, at: PxPoint, foundU: number | null = null): Picked {
  const shot = shotOf(state);
  const { pick } = state;
  if (shot === null || pick === null) return { state, edit: null };
  const place = rounded(at);
  if (pick.kind === "mark") return markPicked(state, shot, place, foundU);
  if (pick.kind === "scale") return scalePicked(state, shot, pick.end, place, foundU);
  if (isSketchPick(pick)) return sketchPicked(state, pick, place);
  if (pick.kind !== "plumb") return referencePicked(state, shot, pick, place);
  if (pick.end === "top") {
    return {
      state: {
        ...state,
        pending: {
          ...state.pending,
          plumbTop: place,
          frames: { ...state.pending.frames, plumbTop: state.frame },
        },
        pick: { kind: "plumb", end: "bottom" },
      },
      edit: null,
    };
  }
  const { plumbTop, frames } = state.pending;
  const first: Pinned =
    plumbTop !== null
      ? { at: plumbTop, frame: frames.plumbTop }
      : { at: shot.plumb?.top ?? place, frame: shot.plumb?.topFrame };
  const done = { ...state, pending: { ...state.pending, plumbTop: null }, pick: null };
  return { state: done, edit: plumbEdit(shot, first, { at: place, frame: state.frame }) };
}

function markPicked(state: AppState, shot: Shot, [x, y]: PxPoint, foundU: number | null): Picked {
  const { pointId, frame } = state;
  if (pointId === null) return { state, edit: null };
  const by = { pointId, frame, x, y, by: "hand" } as const;
  const mark: Mark = foundU === null ? { ...by, u: handU(shot) } : { ...by, u: foundU, snapped: true };
  const selected: Handle = { kind: "mark", pointId };
  return {
    state: afterMark({ ...state, selected }, shot),
    edit: { kind: "set-mark", shotId: shot.id, mark },
  };
}

function afterMark(state: AppState, shot: Shot): AppState {
  if (state.afterMark === "stay") return state;
  if (state.afterMark === "next-point") {
    const points = pointsInView(state);
    const at = points.findIndex((point) => point.id === state.pointId);
    const next = points.find((point, i) => i > at && markAt(shot, point.id, state.frame) === null);
    if (next !== undefined) return { ...state, pointId: next.id, selected: null };
    return stepped({ ...state, pointId: points[0]?.id ?? null });
  }
  return stepped(state);
}

function stepped(state: AppState): AppState {
  const last = (factsOf(state)?.pts.length ?? 0) - 1;
  return state.frame >= last ? state : atFrame(state, state.frame + 1);
}

function scalePicked(
  state: AppState,
  shot: Shot,
  end: "a" | "b",
  place: PxPoint,
  foundU: number | null,
): Picked {
  const name = end === "a" ? "scaleA" : "scaleB";
  const pending: PendingPicks = {
    ...state.pending,
    [name]: place,
    foundU: { ...state.pending.foundU, [name]: foundU ?? undefined },
    frames: { ...state.pending.frames, [name]: state.frame },
  };
  if (end === "a") return { state: { ...state, pending, pick: { kind: "scale", end: "b" } }, edit: null };
  const a = pending.scaleA;
  if (shot.scale !== null && a !== null) {
    const { scaleA: aFrame, scaleB: bFrame } = pending.frames;
    const scale: Scale = {
      ...byHand(shot.scale),
      a: [...a],
      b: [...place],
      aFrame,
      bFrame,
      ...found(pending),
    };
    const done = { ...state, pending: { ...pending, scaleA: null, scaleB: null, foundU: {} }, pick: null };
    return { state: done, edit: { kind: "update-shot", shotId: shot.id, patch: { scale } } };
  }
  const askedField = pending.rodM === null ? rodField(shot.id, null) : null;
  return withScale({ ...state, pending, pick: null, askedField }, shot);
}

/** The rod's length as typed: part of the scale, or kept until both ends are picked. */
export function rodTyped(state: AppState, rodM: Measured): Picked {
  const shot = shotOf(state);
  if (shot === null) return { state, edit: null };
  if (shot.scale === null) return withScale({ ...state, pending: { ...state.pending, rodM } }, shot);
  const scale: Scale = { ...shot.scale, rodM };
  return { state, edit: { kind: "update-shot", shotId: shot.id, patch: { scale } } };
}

/** Two ends and a length are a scale; less waits for the rest. */
function withScale(state: AppState, shot: Shot): Picked {
  const { scaleA, scaleB, rodM, frames } = state.pending;
  if (scaleA === null || scaleB === null || rodM === null) return { state, edit: null };
  const scale: Scale = {
    a: [...scaleA],
    b: [...scaleB],
    uPx: HAND_U_PX,
    ...found(state.pending),
    rodM,
    aFrame: frames.scaleA,
    bFrame: frames.scaleB,
  };
  const pending = { ...state.pending, scaleA: null, scaleB: null, foundU: {}, rodM: null };
  return { state: { ...state, pending }, edit: { kind: "update-shot", shotId: shot.id, patch: { scale } } };
}

/** How well a rod's ends are known when both were found in the picture: as well as the less certain one. */
function found({ foundU: { scaleA, scaleB } }: PendingPicks): Partial<Pick<Scale, "uPx" | "snapped">> {
  if (scaleA === undefined || scaleB === undefined) return {};
  return { uPx: Math.max(scaleA, scaleB), snapped: true };
}

/** A place and the frame it was picked in, where that is known. */
interface Pinned {
  readonly at: PxPoint;
  readonly frame: number | undefined;
}

function plumbEdit(shot: Shot, one: Pinned, other: Pinned): Picked["edit"] {
  const [top, bottom] = one.at[1] <= other.at[1] ? [one, other] : [other, one];
  const plumb: Plumb = {
    top: [...top.at],
    bottom: [...bottom.at],
    topFrame: top.frame,
    bottomFrame: bottom.frame,
    uPx: shot.plumb?.uPx ?? HAND_U_PX,
    hangRad: shot.plumb?.hangRad ?? HANG_U_RAD,
  };
  return { kind: "update-shot", shotId: shot.id, patch: { plumb } };
}

/**
 * The u of this shot's latest mark that a hand alone placed, so that what the person said once holds for the
 * next mark too.
 */
export function handU(shot: Shot): number {
  return shot.marks.findLast((mark) => mark.by === "hand" && !mark.snapped)?.u ?? HAND_U_PX;
}

/** Moves a handle to a place of the picture. @returns null when there is no such thing on the picture */
export function movedTo(state: AppState, handle: Handle, at: PxPoint): Picked | null {
  const shot = shotOf(state);
  if (shot === null) return null;
  const place = rounded(at);
  if (isReference(handle)) return referenceMoved(state, handle, place);
  if (isSketchHandle(handle)) return sketchMoved(state, handle, place);
  const selected = { ...state, selected: handle };
  if (handle.kind === "mark") {
    const mark = markAt(shot, handle.pointId, state.frame);
    if (mark === null) return null;
    // A hand that moves the follower's mark places it as well as a hand does, not as
    // well as the follower did.
    const { snapped, ...before } = mark;
    const u = mark.by === "hand" && !snapped ? mark.u : handU(shot);
    const moved: Mark = { ...before, x: place[0], y: place[1], u, by: "hand" };
    return { state: selected, edit: { kind: "set-mark", shotId: shot.id, mark: moved } };
  }
  if (handle.kind === "scale") {
    if (shot.scale === null) {
      const name = handle.end === "a" ? "scaleA" : "scaleB";
      const frames = { ...state.pending.frames, [name]: state.frame };
      const foundU = { ...state.pending.foundU, [name]: undefined };
      const pending = { ...state.pending, [name]: place, frames, foundU };
      return { state: { ...selected, pending }, edit: null };
    }
    const scale: Scale = {
      ...oneEndByHand(shot.scale),
      [handle.end]: [...place],
      [`${handle.end}Frame`]: state.frame,
    };
    return { state: selected, edit: { kind: "update-shot", shotId: shot.id, patch: { scale } } };
  }
  if (shot.plumb === null) {
    if (handle.end !== "top" || state.pending.plumbTop === null) return null;
    const frames = { ...state.pending.frames, plumbTop: state.frame };
    return { state: { ...selected, pending: { ...state.pending, plumbTop: place, frames } }, edit: null };
  }
  const plumb: Plumb = {
    ...oneEndByHand(shot.plumb),
    [handle.end]: [...place],
    [`${handle.end}Frame`]: state.frame,
  };
  return { state: selected, edit: { kind: "update-shot", shotId: shot.id, patch: { plumb } } };
}

/** Where a handle lies, picture px; null when it is not there. */
export function placeOf(state: AppState, handle: Handle): PxPoint | null {
  if (isReference(handle)) return referencePlace(state, handle);
  if (isSketchHandle(handle)) return sketchPlace(state, handle);
  const shot = shotOf(state);
  if (handle.kind === "mark") {
    const mark = markAt(shot, handle.pointId, state.frame);
    return mark === null ? null : [mark.x, mark.y];
  }
  if (handle.kind === "scale") {
    const [a, b] = [shot?.scale?.a ?? state.pending.scaleA, shot?.scale?.b ?? state.pending.scaleB];
    return handle.end === "a" ? a : b;
  }
  return shot?.plumb?.[handle.end] ?? (handle.end === "top" ? state.pending.plumbTop : null);
}

/** What Alt+arrows and Delete act on: what is selected, else the current point's mark in this frame. */
export function activeHandle(state: AppState): Handle | null {
  if (state.selected !== null && placeOf(state, state.selected) !== null) return state.selected;
  if (state.pointId === null) return null;
  const handle: Handle = { kind: "mark", pointId: state.pointId };
  return placeOf(state, handle) === null ? null : handle;
}

/** The state with a handle at another place, document and all: what a drag shows before it is let go. */
export function previewed(state: AppState, handle: Handle, at: PxPoint): AppState {
  const moved = movedTo(state, handle, at);
  if (moved === null || moved.edit === null) return moved?.state ?? state;
  const { history } = state;
  return { ...moved.state, history: { ...history, present: applyEdit(history.present, moved.edit) } };
}

/** Takes a handle off the picture: a mark alone, the scale or the plumb as a whole. */
export function removed(state: AppState, handle: Handle): Picked | null {
  if (isReference(handle)) return referenceRemoved(state, handle);
  if (isSketchHandle(handle)) return sketchRemoved(state, handle);
  const shot = shotOf(state);
  if (shot === null || placeOf(state, handle) === null) return null;
  if (handle.kind === "mark") {
    const { pointId } = handle;
    return { state, edit: { kind: "remove-mark", shotId: shot.id, pointId, frame: state.frame } };
  }
  const patch = handle.kind === "scale" ? { scale: null } : { plumb: null };
  return { state, edit: { kind: "update-shot", shotId: shot.id, patch } };
}

/**
 * Where a mark of the current point is likely in this frame: straight on from its two nearest earlier marks,
 * else its nearest mark; null without any. Where the keyboard places a mark, to be nudged from there.
 */
export function likelyPlace(state: AppState): PxPoint | null {
  const marks = (shotOf(state)?.marks ?? []).filter((mark) => mark.pointId === state.pointId);
  const earlier = marks.filter((mark) => mark.frame < state.frame);
  const [before, last] = [earlier.at(-2), earlier.at(-1)];
  if (last === undefined) {
    const next = marks.find((mark) => mark.frame >= state.frame);
    return next === undefined ? null : [next.x, next.y];
  }
  if (before === undefined) return [last.x, last.y];
  const ahead = (state.frame - last.frame) / (last.frame - before.frame);
  return [last.x + (last.x - before.x) * ahead, last.y + (last.y - before.y) * ahead];
}
