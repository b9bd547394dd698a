import { boxAround, type GreyImage } from "../follow/grey-image.ts";
import { whiteCovariance } from "../follow/match-covariance.ts";
import { type Match, matchTemplate } from "../follow/match-template.ts";
import { type Template, templateAt } from "../follow/template.ts";
import { cubicSpline } from "../numeric/cubic-spline.ts";
import type { PxPoint } from "../quantity/point.ts";
import { type Homography8, project, unproject } from "../scale/homography-map.ts";
import { coarseShift, smallPicture } from "./coarse-shift.ts";
import { cellOf, findCorners } from "./find-corners.ts";
import { type FittedView, fitView, type SeenPlace } from "./fit-view.ts";

/** How one frame shows the scene that the first one shows. */
export interface FrameView {
  readonly frame: number;
  /** px in the first frame's picture, straightened -> px in this one's, straightened. */
  readonly map: Homography8;
  /** px, standard uncertainty of a place in the picture's middle and at its corners. */
  readonly uMiddlePx: number;
  readonly uCornerPx: number;
  /**
   * px, of it: what came with the corners that were found on the way, and is much the same for
   * all later frames.
   */
  readonly inheritedPx: number;
  /** Places that were found again and move together. */
  readonly still: number;
}

/** Follows the still background through the frames it is shown, in order. */
export interface BackgroundFollower {
  /** Shows a frame. @returns how it shows the scene; null where that cannot be told */
  see(frame: number, image: GreyImage): FrameView | null;
}

export interface BackgroundOptions {
  /** Takes the lens out of a place; nothing is bent unless told. */
  readonly straighten?: (seen: PxPoint) => PxPoint;
  /** Puts it back. */
  readonly bend?: (straight: PxPoint) => PxPoint;
}

const RADIUS = 10; // samples; a corner with what is around it, seen in some 15 mm at 1.4 mm/px
const SURROUND = 14; // samples about the piece that its spline is made from
const NEAR = RADIUS / 3; // samples: what a match reaches from where it begins
const LEAST_LIKENESS = 0.8;
const GAINS = [0.4, 2.5] as const; // of the contrast: a shadow, a cloud
const SETTLED_PX = 2e-3;
// px: what coding does to a place that does not change from frame to frame, as the follower has it
const FLOOR_PX = 0.036;
const HALF_PX = 0.5; // a session's pixel counts from the corner, a sample from the middle
const REFILL = 0.7; // of the cells that had a corner: with fewer in sight new ones are taken
const REFILL_PX = 1 / 18; // of the width, that the picture moves by before new ones are looked for again
const OFTEN_OFF = 3; // frames in which a place moved against the scene: it is no part of it

/** A place of the scene: where the first picture shows it, and what it looks like. */
interface Still {
  readonly reference: PxPoint;
  readonly template: Template;
  readonly turnRad: number;
  /** px², of where it lies in the reference: that of the frame it was found in. */
  readonly inherited: number;
  off: number;
}

/**
 * Makes a follower of the background, whose reference is the first frame. Corners spread over the picture are
 * looked for in each frame where the last map says, or a coarse comparison of the whole pictures where that
 * leads nowhere; the map is fitted to those that move together. When too many have left the picture new
 * ones are taken where the fitted map puts them: what that is off by is inherited by all later frames and
 * stated as such.
 */
export function createBackgroundFollower(
  image: GreyImage,
  frame: number,
  { straighten = (seen) => seen, bend = (straight) => straight }: BackgroundOptions = {},
): BackgroundFollower & { readonly first: FrameView; readonly places: number } {
  const picturePx = [image.width, image.height] as const;
  const corners: readonly PxPoint[] = [
    [0, 0],
    [image.width, 0],
    [image.width, image.height],
    [0, image.height],
  ];
  const middle: PxPoint = [image.width / 2, image.height / 2];
  let stills: Still[] = [];
  let last = IDENTITY;
  let before = IDENTITY;
  let small = smallPicture(image);
  let filledAt: PxPoint = middle;
  add(image, IDENTITY, 0, () => true);
  const filled = stills.length;
  const first = { frame, map: IDENTITY, uMiddlePx: 0, uCornerPx: 0, inheritedPx: 0, still: filled };

  /** Takes corners of a picture in some cells, as places of the scene. */
  function add(picture: GreyImage, map: Homography8, inherited: number, wanted: (cell: number) => boolean) {
    for (const { x, y } of findCorners(picture, RADIUS + 2, wanted)) {
      const template = templateAt(picture, [x, y], RADIUS);
      if (template === null) continue;
      const { at } = unproject(map, straighten([x + HALF_PX, y + HALF_PX]));
      stills.push({ reference: at, template, turnRad: turnOf(map, at), inherited, off: 0 });
    }
  }

  function search(picture: GreyImage, expected: Homography8) {
    const found: { still: Still; place: SeenPlace }[] = [];
    for (const still of stills) {
      const at = bend(project(expected, still.reference).at);
      const theta = turnOf(expected, still.reference) - still.turnRad;
      const match = matchOf(still.template, picture, [at[0] - HALF_PX, at[1] - HALF_PX], theta);
      if (match === null) continue;
      const [xx, , , , yy] = whiteCovariance(match, match.residual);
      const u = Math.sqrt((xx + yy) / 2 + FLOOR_PX ** 2);
      const seen = straighten([match.x + HALF_PX, match.y + HALF_PX]);
      found.push({ still, place: { reference: still.reference, seen, u } });
    }
    const view = fitView(
      found.map(({ place }) => place),
      picturePx,
    );
    return view === null ? null : { view, found };
  }

  function see(now: number, picture: GreyImage): FrameView | null {
    const nowSmall = smallPicture(picture);
    let seen = search(picture, goneOn(before, last));
    if (seen === null || seen.found.length < REFILL * stillsIn(goneOn(before, last))) {
      const shift = coarseShift(small, nowSmall);
      const moved = shift === null ? null : search(picture, shiftedBy(last, shift));
      if (moved !== null && moved.found.length > (seen?.found.length ?? 0)) seen = moved;
    }
    if (seen === null) return null;
    const { view, found } = seen;
    judge(found, view);
    [before, last, small] = [last, view.map, nowSmall];
    const inherited = inheritedBy(found, view);
    const told = viewOf(now, view, inherited);
    refill(picture, view, told);
    return told;
  }

  /** How many places the frame should show if it is as expected. */
  function stillsIn(map: Homography8): number {
    return stills.filter(({ reference }) => isIn(bend(project(map, reference).at))).length;
  }

  function isIn([x, y]: PxPoint): boolean {
    return x > RADIUS + 1 && y > RADIUS + 1 && x < image.width - RADIUS - 1 && y < image.height - RADIUS - 1;
  }

  /** Forgets places that time and again move against the scene. */
  function judge(found: readonly { still: Still }[], { weights }: FittedView): void {
    found.forEach(({ still }, i) => {
      still.off = weights[i] === 0 ? still.off + 1 : Math.max(0, still.off - 1);
    });
    stills = stills.filter(({ off }) => off < OFTEN_OFF);
  }

  function inheritedBy(found: readonly { still: Still }[], { weights }: FittedView): number {
    const all = weights.reduce((sum, w) => sum + w, 0);
    return found.reduce((sum, { still }, i) => sum + weights[i] * still.inherited, 0) / all;
  }

  function viewOf(at: number, view: FittedView, inherited: number): FrameView {
    const own = (place: PxPoint) => Math.sqrt(view.uAt(unproject(view.map, place).at) ** 2 + FLOOR_PX ** 2);
    return {
      frame: at,
      map: view.map,
      uMiddlePx: own(middle),
      uCornerPx: Math.max(...corners.map(own)),
      inheritedPx: Math.sqrt(inherited),
      still: view.weights.filter((weight) => weight > 0).length,
    };
  }

  function refill(picture: GreyImage, { map }: FittedView, told: FrameView): void {
    const { at } = project(map, middle);
    if (Math.hypot(at[0] - filledAt[0], at[1] - filledAt[1]) < REFILL_PX * image.width) return;
    const held = new Set<number>();
    for (const { reference } of stills) {
      const [x, y] = bend(project(map, reference).at);
      if (isIn([x, y])) held.add(cellOf(x, y, image.width, image.height));
    }
    if (held.size >= REFILL * filled) return;
    filledAt = at;
    const inherited = told.inheritedPx ** 2 + told.uMiddlePx ** 2;
    add(picture, map, inherited, (cell) => !held.has(cell));
  }

  return { see, first, places: filled };
}

const IDENTITY: Homography8 = Float64Array.from([1, 0, 0, 0, 1, 0, 0, 0]);

/** The turn, rad, that a map gives a small piece about a place. */
function turnOf(map: Homography8, place: PxPoint): number {
  const [from, to] = [project(map, place).at, project(map, [place[0] + 1, place[1]]).at];
  return Math.atan2(to[1] - from[1], to[0] - from[0]);
}

/** The map of the next frame when the camera goes on as it did between the last two: its shift, once more. */
function goneOn(before: Homography8, last: Homography8): Homography8 {
  return shiftedBy(last, [last[2] - before[2], last[5] - before[5]]);
}

/** A map whose picture is moved by some px. */
function shiftedBy(map: Homography8, [dx, dy]: readonly [number, number]): Homography8 {
  const h = Float64Array.from(map);
  for (let k = 0; k < 3; k++) {
    const w = k === 2 ? 1 : map[6 + k];
    h[k] += dx * w;
    h[3 + k] += dy * w;
  }
  return h;
}

function matchOf(template: Template, picture: GreyImage, at: PxPoint, theta: number): Match | null {
  const box = boxAround(picture, at, RADIUS + SURROUND);
  if (box === null) return null;
  const start = { x: at[0], y: at[1], theta };
  const found = matchTemplate(template, cubicSpline(picture, box), start, {
    turns: false,
    tolerance: SETTLED_PX,
    iterations: 20,
  });
  if (!found.ok) return null;
  const { x, y, likeness, gain } = found.value;
  if (likeness < LEAST_LIKENESS || gain < GAINS[0] || gain > GAINS[1]) return null;
  return Math.hypot(x - at[0], y - at[1]) <= 2 * NEAR ? found.value : null;
}
