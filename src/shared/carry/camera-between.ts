import { createBackgroundFollower } from "../background/follow-background.ts";
import type { GreyImage } from "../follow/grey-image.ts";
import type { PxPoint } from "../quantity/point.ts";
import { ok, type Result, refuse } from "../quantity/result.ts";
import { type Homography8, project } from "../scale/homography-map.ts";

/** How a camera stood in another clip, seen from how it stood in this one, by the still background. */
export interface CameraBetween {
  /** px in the former picture, straightened -> px in the other one, straightened. */
  readonly map: Homography8;
  /** px right and down by which what lies in the picture's middle has moved; u of each coordinate. */
  readonly shiftPx: PxPoint;
  readonly uShiftPx: number;
  /** rad, from x right towards y down, by which the picture has turned. */
  readonly turnRad: number;
  readonly uTurnRad: number;
  /** Of lengths in the picture, 1 for the same. */
  readonly zoom: number;
  readonly uZoom: number;
  /** px, of the picture. */
  readonly widthPx: number;
  /** px, standard uncertainty of where the map puts a place, at the picture's corners. */
  readonly uPlacePx: number;
}

/**
 * other-size: the pictures are not of one size. other-scene: too little of the one is found in the other.
 * other-zoom: the scene is there, larger or smaller.
 */
export type OtherSetUp = "other-size" | "other-scene" | "other-zoom";

/** Takes a lens out of a place, and puts it back. */
export interface Straightening {
  straighten(seen: PxPoint): PxPoint;
  bend(straight: PxPoint): PxPoint;
}

// Of the places taken: a person or a car that came may hide some, another place shows none. Common practice,
// no source.
const LEAST_FOUND = 0.3;
// What focusing anew does to the zoom of a lens that was left alone; more is a zoom that was changed, to
// which neither a lens profile nor a distance holds. Common practice, no source.
const MOST_ZOOMED = 0.01;
const LOOKS = 3; // the first is from where the camera stood, each other one from what the one before it found

/**
 * How the camera moved between two clips of one set-up: corners of the still background of one picture are
 * found again in the other. The map comes from what moves together, so whatever was put down or taken away
 * meanwhile does not count.
 * @returns a refusal where the other picture shows another scene, or the same at another zoom
 */
export function cameraBetween(
  former: GreyImage,
  now: GreyImage,
  lens: Straightening,
): Result<CameraBetween, OtherSetUp> {
  const { width, height } = former;
  if (now.width !== width || now.height !== height) {
    return refuse("other-size", { width, height, nowWidth: now.width, nowHeight: now.height });
  }
  const follower = createBackgroundFollower(former, 0, lens);
  const { places } = follower;
  let view: ReturnType<typeof follower.see> = null;
  for (let look = 1; look <= LOOKS; look++) {
    const seen = follower.see(look, now);
    if (seen === null) break;
    view = seen;
  }
  if (view === null || view.still < LEAST_FOUND * places) {
    return refuse("other-scene", { places, found: view?.still ?? 0 });
  }
  const middle: PxPoint = [width / 2, height / 2];
  const { turnRad, zoom } = turnAndZoom(view.map, middle);
  const { at } = project(view.map, middle);
  const uTurnRad = Math.sqrt(Math.max(0, view.uCornerPx ** 2 - view.uMiddlePx ** 2)) / Math.hypot(...middle);
  if (Math.abs(zoom - 1) > MOST_ZOOMED) return refuse("other-zoom", { zoom, u: uTurnRad });
  return ok({
    map: view.map,
    shiftPx: [at[0] - middle[0], at[1] - middle[1]],
    uShiftPx: view.uMiddlePx,
    turnRad,
    uTurnRad,
    zoom,
    uZoom: uTurnRad,
    widthPx: width,
    uPlacePx: view.uCornerPx,
  });
}

/** Of a map about a place: the turn and the zoom nearest to its derivative. */
function turnAndZoom(map: Homography8, place: PxPoint) {
  const [x, y] = place;
  const { at: from } = project(map, place);
  const { at: right } = project(map, [x + 1, y]);
  const { at: down } = project(map, [x, y + 1]);
  const [xx, yx] = [right[0] - from[0], right[1] - from[1]];
  const [xy, yy] = [down[0] - from[0], down[1] - from[1]];
  return { turnRad: Math.atan2(yx - xy, xx + yy), zoom: Math.sqrt(Math.abs(xx * yy - xy * yx)) };
}
