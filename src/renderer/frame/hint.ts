import { type DeskState, markAt, sessionOf, shotOf } from "../state/desk-state.ts";

/** One sentence on what a click on the picture does now; null when it does nothing. */
export function hintOf(state: DeskState): string | null {
  const { pick } = state;
  const shot = shotOf(state);
  if (shot === null) return null;
  if (pick === null) {
    if (state.step !== "scale") return null;
    if (shot.scale === null && state.pending.scaleB !== null)
      return "Both ends are picked. Type the rod's length in the ledger.";
    return "Drag an end or a point to move it, or nudge it with Alt and the arrow keys.";
  }
  switch (pick.kind) {
    case "scale":
      return pick.end === "a" ? "Click one end of the scale rod." : "Click the other end of the scale rod.";
    case "plumb":
      return pick.end === "top" ? "Click the top of the plumb line." : "Click the bottom of the plumb line.";
    case "rod":
      return pick.end === "a" ? "Click one end of the other rod." : "Click its other end.";
    case "level":
      return pick.end === "left" ? "Click one end of the level line." : "Click its other end.";
    case "control":
      return "Click a point whose place in the flight plane is known.";
    case "straight":
      return "Click points along an edge that is straight in the world, from one end to the other.";
    case "mark": {
      const point = sessionOf(state).points.find((one) => one.id === state.pointId);
      if (point === undefined) return null;
      const there = markAt(shot, point.id, state.frame) !== null;
      return there ? `Click to mark the ${point.name} again, or drag its mark.` : `Click the ${point.name}.`;
    }
  }
}
