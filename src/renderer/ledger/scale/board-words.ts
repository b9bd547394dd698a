import { showMeasured } from "../../../shared/quantity/display.ts";
import { lensFromBoard } from "../../../shared/scale/lens-from-board.ts";
import { lensUncertainties } from "../../../shared/scale/lens-model.ts";
import type { BoardView } from "../../app-state/picked-so-far.ts";
import { dataOf, FAR_IN_U, type LensFound } from "./lens-words.ts";

const POSE = 6; // numbers of a board's place and turn, for each frame
// coordinates beyond those that poses and focal length use up: then the second radial term is told from noise
const FOR_TWO = 30;
const FOR_CENTRE = 60;
const CENTRE_VIEWS = 3;

/**
 * Finds the lens from the crossings of a flat board of square fields; frames with fewer than four crossings
 * are left out. The size of a field does not matter: it sets how far off the board was, which nobody asks.
 * @param uPx standard uncertainty of each coordinate of a clicked crossing
 */
export function boardFound(
  picked: readonly BoardView[],
  picturePx: readonly [number, number],
  uPx: number,
): LensFound {
  const kept = picked.filter(({ points }) => points.length >= 4);
  if (kept.length < 2) {
    return { text: "Pick the board in two or more frames, held differently in each.", lens: null };
  }
  const spare = 2 * kept.reduce((sum, { points }) => sum + points.length, 0) - POSE * kept.length - 1;
  const found = lensFromBoard({
    views: kept.map(({ points }) => ({
      uPx,
      points: points.map(({ column, row, at }) => ({ px: at, boardM: [column, row] as const })),
    })),
    picturePx,
    find: [
      ...(spare >= FOR_CENTRE && kept.length >= CENTRE_VIEWS ? (["centreX", "centreY"] as const) : []),
      "k1",
      ...(spare >= FOR_TWO ? (["k2"] as const) : []),
    ],
  });
  if (!found.ok) {
    const view = "view" in found.numbers ? kept[found.numbers.view ?? 0]?.frame : undefined;
    return { text: refusalSays(found.code, view), lens: null };
  }
  const { profile, leftPx, worst } = found.value;
  const u = lensUncertainties(profile); // in the order of the terms: focal length first, k1 fourth
  const focal = showMeasured({ value: profile.focalPx, u: u[0] as number }, "1").text.trim();
  const k1 = showMeasured({ value: profile.k1, u: u[3] as number }, "1").text.trim();
  return {
    text: `${profile.madeFrom.points} crossings in ${kept.length} frames give a focal length of ${focal} px and a bend k1 of ${k1}, and are left ${leftPx.toFixed(2)} px off (root mean square).${farSays(kept, worst)}`,
    lens: dataOf(profile),
  };
}

function farSays(
  kept: readonly BoardView[],
  { view, point, deviation }: { readonly view: number; readonly point: number; readonly deviation: number },
): string {
  const one = kept[view]?.points[point];
  if (one === undefined || deviation <= FAR_IN_U) return "";
  return ` The crossing in column ${one.column + 1}, row ${one.row + 1} of frame ${kept[view]?.frame} is ${deviation.toFixed(1)} u off: look at it again.`;
}

function refusalSays(
  code: Exclude<ReturnType<typeof lensFromBoard>, { readonly ok: true }>["code"],
  frame: number | undefined,
): string {
  switch (code) {
    case "too-few-points":
      return "More crossings are needed: pick further ones in each frame, or the board in more frames.";
    case "points-in-line":
      return `The crossings of frame ${frame} lie too nearly in one line. Pick all four outer ones.`;
    case "board-not-tilted":
      return "The board was held square to the camera each time, which does not determine the focal length. Pick frames in which it is tilted, by 30° or so, to different sides.";
    case "poorly-placed-boards":
      return "The frames do not determine the lens. Hold the board tilted differently in each, and let it reach the picture's edges.";
    case "not-converged":
      return "The crossings fit no lens. Check that each is where its column and row say, and that the board is flat.";
    case "folds-inside-picture":
      return "The lens found would fold the picture over itself. Pick frames in which the board reaches the picture's corners.";
  }
}
