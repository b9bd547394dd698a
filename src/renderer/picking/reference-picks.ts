import type { PxPoint } from "../../shared/quantity/point.ts";
import type { Edit } from "../../shared/session/edits.ts";
import type { ControlPoints, Level, Scale, Shot } from "../../shared/session/schema.ts";
import { type AppState, type Handle, type Pick, shotOf } from "../app-state/app-state.ts";
import { rodField } from "../app-state/asked-fields.ts";
import { byHand, HAND_U_PX, oneEndByHand, type Picked } from "./picked.ts";

/*
 * The references beside the first rod and the plumb: further rods, a level line, known points of the plane,
 * and points along lines that are straight in the world.
 */
export type ReferencePick = Extract<Pick, { kind: "rod" | "level" | "control" | "straight" }>;
export type ReferenceHandle = Extract<Handle, { kind: "rod" | "level" | "control" | "straight" }>;

/** u of a level line's own level before the person says otherwise: 0.2°, a spirit level laid on it. */
export const LEVEL_U_RAD = 0.0035;
/** u of a known point's coordinates before the person says otherwise: a tape on uneven ground. */
export const CONTROL_U_M = 0.005;
/** Known points that a plane needs before it can be used. */
export const FEWEST_CONTROL = 4;
const GUESSED_SHARE = 1 / 3; // u of a length that nobody has typed yet: so wide that it moves no result

export function isReference(one: Handle): one is ReferenceHandle {
  return one.kind === "rod" || one.kind === "level" || one.kind === "control" || one.kind === "straight";
}

/** Places what the pick asks for. */
export function referencePicked(
  state: AppState,
  shot: Shot,
  pick: ReferencePick,
  place: [number, number],
): Picked {
  switch (pick.kind) {
    case "rod":
    case "level":
      return endPicked(state, shot, pick, place);
    case "control": {
      const { control } = state.sketch;
      const at = (shot.control?.points.length ?? 0) + control.length;
      const draft = { at: place, frame: state.frame, xM: null, yM: null };
      const sketch = { ...state.sketch, control: [...control, draft] };
      return { state: { ...state, sketch, selected: { kind: "control", at } }, edit: null };
    }
    case "straight": {
      const lines = state.sketch.lines.length === 0 ? [[]] : state.sketch.lines;
      const line = lines.length - 1;
      const current = [...(lines[line] ?? []), place];
      const sketch = { ...state.sketch, lines: lines.with(line, current) };
      return {
        state: { ...state, sketch, selected: { kind: "straight", line, at: current.length - 1 } },
        edit: null,
      };
    }
  }
}

function endPicked(
  state: AppState,
  shot: Shot,
  pick: Extract<ReferencePick, { kind: "rod" | "level" }>,
  place: [number, number],
): Picked {
  const { first } = state.pending;
  const isFirst = pick.end === "a" || pick.end === "left";
  if (isFirst || first === null) {
    const next: ReferencePick = pick.kind === "rod" ? { ...pick, end: "b" } : { ...pick, end: "right" };
    const frames = { ...state.pending.frames, first: state.frame };
    const pending = { ...state.pending, first: place, frames };
    return { state: { ...state, pending, pick: next }, edit: null };
  }
  const firstFrame = state.pending.frames.first;
  const done = { ...state, pending: { ...state.pending, first: null }, pick: null };
  if (pick.kind === "level")
    return {
      state: done,
      edit: patched(shot, { level: levelOf(shot, [first, firstFrame], [place, state.frame]) }),
    };
  const rods = shot.rods ?? [];
  const before = rods[pick.at];
  const rod: Scale = {
    ...(before === undefined
      ? {
          uPx: shot.scale === null ? HAND_U_PX : byHand(shot.scale).uPx,
          rodM: guessedLength(shot, first, place),
        }
      : byHand(before)),
    a: [...first],
    b: place,
    aFrame: firstFrame,
    bFrame: state.frame,
  };
  const next = before === undefined ? [...rods, rod] : rods.with(pick.at, rod);
  const askedField = before === undefined ? rodField(shot.id, pick.at) : null;
  return { state: { ...done, askedField }, edit: patched(shot, { rods: next }) };
}

/** As the first rod says it is, and so uncertain that it adds nothing until the person types it. */
function guessedLength({ scale }: Shot, a: PxPoint, b: PxPoint): Scale["rodM"] {
  const perPx = scale === null ? null : scale.rodM.value / Math.max(1, apart(scale.a, scale.b));
  const value = Number(((perPx ?? 0.001) * Math.max(1, apart(a, b))).toPrecision(3));
  return { value, u: value * GUESSED_SHARE };
}

function apart(a: PxPoint, b: PxPoint): number {
  return Math.hypot(b[0] - a[0], b[1] - a[1]);
}

type Pinned = readonly [at: PxPoint, frame: number | undefined];

function levelOf(shot: Shot, one: Pinned, other: Pinned): Level {
  const [[left, leftFrame], [right, rightFrame]] = one[0][0] <= other[0][0] ? [one, other] : [other, one];
  return {
    left: [...left],
    right: [...right],
    leftFrame,
    rightFrame,
    uPx: shot.level?.uPx ?? HAND_U_PX,
    tiltRad: shot.level?.tiltRad ?? LEVEL_U_RAD,
  };
}

/** Where a reference lies, picture px; null when it is not there. */
export function referencePlace(state: AppState, handle: ReferenceHandle): PxPoint | null {
  const shot = shotOf(state);
  if (shot === null) return null;
  switch (handle.kind) {
    case "rod":
      return shot.rods?.[handle.at]?.[handle.end] ?? null;
    case "level":
      return shot.level?.[handle.end] ?? null;
    case "control": {
      const known = shot.control?.points ?? [];
      return (known[handle.at] ?? state.sketch.control[handle.at - known.length])?.at ?? null;
    }
    case "straight":
      return state.sketch.lines[handle.line]?.[handle.at] ?? null;
  }
}

/** Moves a reference. @returns null when it is not on the picture */
export function referenceMoved(
  state: AppState,
  handle: ReferenceHandle,
  place: [number, number],
): Picked | null {
  const shot = shotOf(state);
  if (shot === null || referencePlace(state, handle) === null) return null;
  const selected: AppState = { ...state, selected: handle };
  switch (handle.kind) {
    case "rod": {
      const rods = shot.rods ?? [];
      const rod = {
        ...oneEndByHand(rods[handle.at] as Scale),
        [handle.end]: place,
        [`${handle.end}Frame`]: state.frame,
      };
      return { state: selected, edit: patched(shot, { rods: rods.with(handle.at, rod) }) };
    }
    case "level":
      return {
        state: selected,
        edit: patched(shot, {
          level: {
            ...oneEndByHand(shot.level as Level),
            [handle.end]: place,
            [`${handle.end}Frame`]: state.frame,
          },
        }),
      };
    case "control": {
      const known = shot.control?.points.length ?? 0;
      if (shot.control !== undefined && handle.at < known) {
        const points = shot.control.points.map(({ carried, ...point }, i) =>
          i === handle.at
            ? { ...point, at: place, frame: state.frame }
            : { ...point, ...(carried && { carried }) },
        );
        return { state: selected, edit: patched(shot, { control: { ...shot.control, points } }) };
      }
      const control = state.sketch.control.map((point, i) =>
        i === handle.at - known ? { ...point, at: place, frame: state.frame } : point,
      );
      return { state: { ...selected, sketch: { ...state.sketch, control } }, edit: null };
    }
    case "straight": {
      const lines = state.sketch.lines.map((line, i) =>
        i === handle.line ? line.with(handle.at, place) : line,
      );
      return { state: { ...selected, sketch: { ...state.sketch, lines } }, edit: null };
    }
  }
}

/** Takes a reference off the picture: a rod or the level as a whole, a point alone. */
export function referenceRemoved(state: AppState, handle: ReferenceHandle): Picked | null {
  const shot = shotOf(state);
  if (shot === null || referencePlace(state, handle) === null) return null;
  const gone: AppState = { ...state, selected: null };
  switch (handle.kind) {
    case "rod":
      return {
        state: gone,
        edit: patched(shot, { rods: (shot.rods ?? []).filter((_, i) => i !== handle.at) }),
      };
    case "level":
      return { state: gone, edit: patched(shot, { level: undefined }) };
    case "control": {
      const known = shot.control?.points.length ?? 0;
      if (shot.control !== undefined && handle.at < known) {
        const points = shot.control.points.filter((_, i) => i !== handle.at);
        return {
          state: gone,
          edit: patched(shot, { control: points.length === 0 ? undefined : { ...shot.control, points } }),
        };
      }
      const control = state.sketch.control.filter((_, i) => i !== handle.at - known);
      return { state: { ...gone, sketch: { ...state.sketch, control } }, edit: null };
    }
    case "straight": {
      const lines = state.sketch.lines
        .map((line, i) => (i === handle.line ? line.filter((_, j) => j !== handle.at) : line))
        .filter((line, i, all) => line.length > 0 || i === all.length - 1);
      return { state: { ...gone, sketch: { ...state.sketch, lines } }, edit: null };
    }
  }
}

/**
 * A coordinate of a known point as typed. Once four points are whole, those that are go into the document
 * together: fewer give no plane, and would only take the results away.
 */
export function controlTyped(
  state: AppState,
  at: number,
  part: { readonly xM?: number; readonly yM?: number },
): Picked {
  const shot = shotOf(state);
  if (shot === null) return { state, edit: null };
  const known = shot.control?.points ?? [];
  if (shot.control !== undefined && at < known.length) {
    const points = known.map((point, i) => (i === at ? { ...point, ...part } : point));
    return { state, edit: patched(shot, { control: { ...shot.control, points } }) };
  }
  const drafts = state.sketch.control.map((point, i) =>
    i === at - known.length ? { ...point, ...part } : point,
  );
  const whole = drafts.flatMap(({ at: place, frame, xM, yM }) =>
    xM === null || yM === null ? [] : [{ at: [...place] as [number, number], frame, xM, yM }],
  );
  if (known.length + whole.length < FEWEST_CONTROL) {
    return { state: { ...state, sketch: { ...state.sketch, control: drafts } }, edit: null };
  }
  const left = drafts.filter(({ xM, yM }) => xM === null || yM === null);
  const control: ControlPoints = {
    ...(shot.control ?? { uPx: HAND_U_PX, uM: CONTROL_U_M }),
    points: [...known, ...whole],
  };
  return {
    state: { ...state, sketch: { ...state.sketch, control: left } },
    edit: patched(shot, { control }),
  };
}

function patched(shot: Shot, patch: Partial<Shot>): Edit {
  return { kind: "update-shot", shotId: shot.id, patch };
}
