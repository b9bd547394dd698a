import type { PxPoint } from "../../shared/quantity/point.ts";
import type { Mark, Shot } from "../../shared/session/schema.ts";
import type { Handle, Step } from "../app-state/app-state.ts";
import { NO_SKETCH, type PendingPicks, type Sketch } from "../app-state/picked-so-far.ts";
import { crossingsIn, sweepIn } from "../picking/sketch-picks.ts";
import { type Place, toScreen, type Viewport } from "../viewport/viewport.ts";

export interface HandlePlace {
  readonly handle: Handle;
  readonly at: PxPoint;
}

/**
 * Everything on the picture that can be grabbed in this step: in Scale all that it is made of, else the
 * frame's marks, and in Clock the edges that sweep across it.
 */
export function handlesOf(
  shot: Shot,
  pending: PendingPicks,
  frame: number,
  step: Step | null,
  sketch: Sketch = NO_SKETCH,
): readonly HandlePlace[] {
  if (step !== "scale") {
    const marks = shot.marks
      .filter((mark: Mark) => mark.frame === frame)
      .map(
        (mark): HandlePlace => ({ handle: { kind: "mark", pointId: mark.pointId }, at: [mark.x, mark.y] }),
      );
    return step === "clock" ? [...marks, ...edgePlaces(sketch, frame)] : marks;
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
  if (shot.plumb === null && pending.plumbTop !== null)
    ends.push({ handle: { kind: "plumb", end: "top" }, at: pending.plumbTop });
  for (const [at, rod] of (shot.rods ?? []).entries()) {
    ends.push({ handle: { kind: "rod", at, end: "a" }, at: rod.a });
    ends.push({ handle: { kind: "rod", at, end: "b" }, at: rod.b });
  }
  if (shot.level !== undefined) {
    ends.push({ handle: { kind: "level", end: "left" }, at: shot.level.left });
    ends.push({ handle: { kind: "level", end: "right" }, at: shot.level.right });
  }
  for (const [at, point] of [...(shot.control?.points ?? []), ...sketch.control].entries()) {
    ends.push({ handle: { kind: "control", at }, at: point.at });
  }
  for (const [line, points] of sketch.lines.entries()) {
    points.forEach((point, at) => {
      ends.push({ handle: { kind: "straight", line, at }, at: point });
    });
  }
  crossingsIn(sketch.board.views, frame).forEach((crossing, at) => {
    ends.push({ handle: { kind: "crossing", at }, at: crossing.at });
  });
  return ends;
}

function edgePlaces({ sweeps }: Sketch, frame: number): HandlePlace[] {
  return sweeps.flatMap((one, sweep) =>
    sweepIn(one, frame).map((place, at): HandlePlace => ({ handle: { kind: "edge", sweep, at }, at: place })),
  );
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
