import type { PxPoint } from "../../shared/quantity/point.ts";
import type { Mark, Shot } from "../../shared/session/schema.ts";
import type { Handle, PendingPicks } from "../state/desk-state.ts";
import { type Place, toScreen, type Viewport } from "./viewport.ts";

export interface HandlePlace {
  readonly handle: Handle;
  readonly at: PxPoint;
}

/** Everything on the picture that can be grabbed in this step: the frame's marks in Marks, rod and plumb ends in Scale. */
export function handlesOf(
  shot: Shot,
  pending: PendingPicks,
  frame: number,
  inScale: boolean,
): readonly HandlePlace[] {
  if (!inScale) {
    return shot.marks
      .filter((mark: Mark) => mark.frame === frame)
      .map((mark) => ({ handle: { kind: "mark", pointId: mark.pointId }, at: [mark.x, mark.y] }));
  }
  const ends: HandlePlace[] = [];
  const a = shot.scale?.a ?? pending.scaleA;
  const b = shot.scale?.b ?? pending.scaleB;
  if (a !== null) ends.push({ handle: { kind: "scale", end: "a" }, at: a });
  if (b !== null) ends.push({ handle: { kind: "scale", end: "b" }, at: b });
  if (shot.plumb !== null) {
    ends.push({ handle: { kind: "plumb", end: "top" }, at: shot.plumb.top });
    ends.push({ handle: { kind: "plumb", end: "bottom" }, at: shot.plumb.bottom });
  }
  return ends;
}

/** The handle nearest to a place of the view, if it lies within `reach` css px of it. */
export function handleNear(
  handles: readonly HandlePlace[],
  viewport: Viewport,
  at: Place,
  reach: number,
): HandlePlace | null {
  let best: HandlePlace | null = null;
  let bestPx = reach;
  for (const one of handles) {
    const [x, y] = toScreen(viewport, one.at);
    const distance = Math.hypot(x - at[0], y - at[1]);
    if (distance <= bestPx) [best, bestPx] = [one, distance];
  }
  return best;
}
