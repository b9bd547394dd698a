import type { Shot } from "../../shared/session/schema.ts";
import { type AppState, markAt, type Pick, shotOf } from "../app-state/app-state.ts";
import { pointsInView } from "../app-state/things-in-view.ts";
import { takesLamp } from "../picking/lamp-changes.ts";
import { proposalsSay } from "../picking/proposed.ts";
import { crossingsIn, nextOuter, sweepIn } from "../picking/sketch-picks.ts";

const OUTER_WORDS = ["top left", "top right", "bottom right", "bottom left"] as const;

/** One sentence on what a click on the picture does now; null when it does nothing. */
export function hintOf(state: AppState): string | null {
  const shot = shotOf(state);
  if (shot === null) return null;
  if (state.pick === null) return withoutPick(state, shot) ?? proposalsSay(state);
  const asks = ofPick(state.pick, state, shot);
  const found = proposalsSay(state);
  return found === null ? asks : [asks, found].filter((part) => part !== null).join(" ");
}

function withoutPick(state: AppState, shot: Shot): string | null {
  if (takesLamp(state)) {
    return shot.lamp?.frames.includes(state.frame)
      ? `The lamp changes in frame ${state.frame}. L takes that back.`
      : "Step to the next frame in which the lamp has changed, and press L.";
  }
  if (state.step !== "scale") return null;
  return shot.scale === null && state.pending.scaleB !== null
    ? "Both ends are picked. Type the rod's length in the ledger."
    : "Drag an end or a point to move it, or nudge it with Alt and the arrow keys.";
}

function ofPick(pick: Pick, state: AppState, shot: Shot): string | null {
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
    case "edge":
      return ofEdge(state);
    case "crossing":
      return ofCrossing(state);
    case "mark":
      return ofMark(state, shot);
  }
}

function ofEdge({ sketch, frame }: AppState): string {
  return sweepIn(sketch.sweeps.at(-1), frame).length < 3
    ? "Click points along the edge, from its top to its bottom: three or more."
    : "Go to another frame of the sweep, and click the same edge there.";
}

function ofCrossing({ sketch: { board }, frame }: AppState): string {
  const outer = nextOuter(board, crossingsIn(board.views, frame));
  return outer === null
    ? "Click further crossings, in any order; then go to a frame with the board held differently."
    : `Click the board's ${OUTER_WORDS[outer]} crossing.`;
}

function ofMark(state: AppState, shot: Shot): string | null {
  const point = pointsInView(state).find((one) => one.id === state.pointId);
  if (point === undefined) return null;
  const there = markAt(shot, point.id, state.frame) !== null;
  return there ? `Click to mark the ${point.name} again, or drag its mark.` : `Click the ${point.name}.`;
}
