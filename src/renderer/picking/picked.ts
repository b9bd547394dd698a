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

/** A pick of two ends, or several of one u. */
interface OfOneU {
  readonly uPx: number;
  readonly snapped?: true | undefined;
  readonly carried?: object | undefined;
}

/** Picks that a hand places anew: no longer as good as the picture found them, nor those of another shot. */
export function byHand<T extends OfOneU>({ snapped, carried, ...rest }: T): Omit<T, "snapped" | "carried"> {
  return snapped === undefined && carried === undefined ? rest : { ...rest, uPx: HAND_U_PX };
}

/** The same where a hand moves one end: the other may be less sure than a hand, where it was found again. */
export function oneEndByHand<T extends OfOneU>(pick: T): Omit<T, "snapped" | "carried"> {
  const moved = byHand(pick);
  return { ...moved, uPx: Math.max(moved.uPx, pick.uPx) };
}
