import type { Extent, Place } from "../viewport/viewport.ts";

/**
 * Where the loupe's centre goes: beside the pointer, up and to the right while there is room, else on the
 * side with room, so that it is near what it magnifies and never over it.
 * @param pointer css px in the view
 * @param radius of the loupe, css px
 * @param gap between pointer and rim, css px
 */
export function loupePlace(pointer: Place, radius: number, gap: number, view: Extent): Place {
  const away = (radius + gap) * Math.SQRT1_2;
  const fitsRight = pointer[0] + away + radius <= view.width;
  const fitsAbove = pointer[1] - away - radius >= 0;
  const x = pointer[0] + (fitsRight ? away : -away);
  const y = pointer[1] + (fitsAbove ? -away : away);
  // In a corner the view's edge pushes it further from the pointer, never nearer.
  return [held(x, radius, view.width - radius), held(y, radius, view.height - radius)];
}

function held(x: number, least: number, most: number): number {
  return most < least ? x : Math.min(Math.max(x, least), most);
}
