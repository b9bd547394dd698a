import type { PxPoint } from "../../shared/quantity/point.ts";
import type { Edit } from "../../shared/session/edits.ts";
import type { AppState } from "../app-state/app-state.ts";

/**
 * What a pick or a move does: the window's next state, and the edit of the document
 * that goes with it, if any.
 */
export interface Picked {
  readonly state: AppState;
  readonly edit: Edit | null;
}

/**
 * u of a new mark before the person says otherwise: half a pixel is what a steady
 * hand does at four-fold zoom.
 */
export const HAND_U_PX = 0.5;
/**
 * u of a plumb line's own verticality before the person says otherwise: 0.2°, a hanging weight in light wind.
 */
export const HANG_U_RAD = 0.0035;

/** A place to a hundredth of a pixel: finer than any hand or follower, and short in the file. */
export function rounded([x, y]: PxPoint): [number, number] {
  return [Math.round(x * 100) / 100, Math.round(y * 100) / 100];
}
