import { coarseSearch } from "./coarse-search.ts";
import { matchNear, type Sought } from "./find-template.ts";
import type { GreyImage } from "./grey-image.ts";
import type { Warp } from "./match-template.ts";

const NEAR = 4; // samples; a thing that stands is found again within them
const LIKE_COARSE = 0.75;
const LIKE = 0.85; // likeness of two matches, of which one is a little turned, blurred or covered
const CLEARLY_MOVED = 10; // of the way to the twin: a first step so short does not lead to it

/**
 * Whether another thing like a template stood at a place in an earlier picture, while the template itself lay
 * elsewhere: what is found at that place now is then that thing, and not the point come there.
 * @param own where the template itself lay in the earlier picture; null when it was not seen there
 */
export function stoodThere(sought: Sought, earlier: GreyImage, place: Warp, own: Warp | null): boolean {
  const { radius } = sought.template;
  const coarse = coarseSearch(sought.template, earlier, [place.x, place.y], place.theta, NEAR);
  if (coarse === null || coarse.best.likeness < LIKE_COARSE) return false;
  const { x, y } = coarse.best;
  if (own !== null && Math.hypot(x - own.x, y - own.y) < radius) return false;
  const match = matchNear(sought, earlier, { x, y, theta: place.theta });
  return match !== null && match.likeness >= LIKE;
}

/**
 * How far the nearest thing like a template lies from it, px; null when there is none within `reach`.
 * @param place where the template itself lies in the picture: by default its own
 */
export function twinDistance(
  sought: Sought,
  image: GreyImage,
  reach: number,
  place: Warp = { x: sought.template.middle[0], y: sought.template.middle[1], theta: 0 },
): number | null {
  const coarse = coarseSearch(sought.template, image, [place.x, place.y], place.theta, reach);
  if (coarse === null || coarse.second === null || coarse.second.likeness < LIKE_COARSE) return null;
  const { x, y } = coarse.second;
  const match = matchNear(sought, image, { x, y, theta: place.theta });
  if (match === null || match.likeness < LIKE) return null;
  return Math.hypot(match.x - place.x, match.y - place.y);
}

/**
 * Whether a first step tells the point from its twin: one of a tenth of the way between them or less, as of
 * a point that starts from rest. After a longer one it may be the twin that was found, frame after frame.
 */
export function tellsFromTwin(stepPx: number, twinPx: number | null): boolean {
  return twinPx === null || stepPx <= Math.max(1, twinPx / CLEARLY_MOVED);
}
