import type { GreyImage } from "../follow/grey-image.ts";
import { elementAt, entryOf } from "../quantity/known-element.ts";
import type { PxPoint } from "../quantity/point.ts";
import { ok, type Refusal, type Result } from "../quantity/result.ts";
import { project } from "../scale/homography-map.ts";
import { type CameraBetween, cameraBetween, type OtherSetUp, type Straightening } from "./camera-between.ts";
import { type FoundPick, findPick, type SoughtPick } from "./find-pick.ts";

/** A former clip's set-up as another clip shows it. */
export interface FoundSetUp {
  /** The frame of the other clip in which it was found: the airframe at rest, as late as was looked. */
  readonly frame: number;
  /** Since the former clip's frame that shows the first of the picks. */
  readonly camera: CameraBetween;
  readonly picks: readonly FoundPick[];
}

/** A picture of a clip. */
export interface ClipPicture {
  readonly frame: number;
  readonly image: GreyImage;
}

const APART_PX = 1.5; // besides 4 u: by which points of a body seen from another side draw together
const TIMES_U = 4;
const MOST_REFUSED = 3; // pictures of another scene; a hand or a person may be before the camera in the first
const AT_REST_PX = 0.5; // besides 4 u: that a body at rest lies from where it lay before

/**
 * Finds what was picked in a former clip again in another one: how the camera moved between them, each place
 * by its picture, and the body that is launched where it lies at rest.
 * @param former the frames that the picks were placed in
 * @param pictures of the other clip, in order of time: the body is looked for in one after the other, and the
 *   last of them in which it still lies as it first lay is the one that all is found in
 * @throws RangeError without a picture, a pick, or the frame of a pick: the caller's bug
 */
export function findSetUp(
  sought: readonly SoughtPick[],
  former: readonly ClipPicture[],
  pictures: readonly ClipPicture[],
  lens: Straightening,
): Result<FoundSetUp, OtherSetUp> {
  const bodies = sought.filter(({ kind }) => kind === "body");
  let best: FoundSetUp | null = null;
  const refused: Refusal<OtherSetUp>[] = [];
  for (const [i, picture] of pictures.entries()) {
    const found = foundIn(picture, sought, former, lens);
    if (!found.ok) refused.push(found);
    else if (best === null || sureOf(found.value, bodies) > sureOf(best, bodies)) best = found.value;
    if (best !== null && sureOf(best, bodies) === bodies.length) {
      return ok(latest(best, pictures.slice(i + 1), sought, former, lens));
    }
    if (best === null && refused.length === MOST_REFUSED) break;
  }
  if (best !== null) return ok(best);
  return elementAt(refused, 0);
}

/** The same in the last of the pictures that follow in which the body still lies as it did. */
function latest(
  found: FoundSetUp,
  pictures: readonly ClipPicture[],
  sought: readonly SoughtPick[],
  former: readonly ClipPicture[],
  lens: Straightening,
): FoundSetUp {
  const bodies = sought.filter(({ kind }) => kind === "body");
  if (bodies.length === 0) return found;
  const moved = pictures.findIndex((picture) => !stillLies(found, bodies, former, picture));
  const last = pictures.slice(0, moved < 0 ? pictures.length : moved).at(-1);
  if (last === undefined) return found;
  const later = foundIn(last, sought, former, lens);
  return later.ok && sureOf(later.value, bodies) === bodies.length ? later.value : found;
}

function foundIn(
  { frame, image }: ClipPicture,
  sought: readonly SoughtPick[],
  former: readonly ClipPicture[],
  lens: Straightening,
): Result<FoundSetUp, OtherSetUp> {
  const views = new Map<number, CameraBetween>();
  for (const pick of sought) {
    if (views.has(pick.frame)) continue;
    const view = cameraBetween(pictureOf(former, pick.frame), image, lens);
    if (!view.ok) return view;
    views.set(pick.frame, view.value);
  }
  const picks = sought.map((pick) => {
    const camera = entryOf(views, pick.frame);
    const at = lens.bend(project(camera.map, lens.straighten(pick.at)).at);
    const expected = { at, turnRad: camera.turnRad, uPx: camera.uPlacePx };
    return findPick(pictureOf(former, pick.frame), image, pick, expected);
  });
  const camera = entryOf(views, elementAt(sought, 0).frame);
  return ok({ frame, camera, picks: rigid(picks, sought) });
}

/** Points of one body that are found at other distances from each other than before are not sure. */
function rigid(picks: readonly FoundPick[], sought: readonly SoughtPick[]): readonly FoundPick[] {
  const apart = new Map<string, number>();
  const bodies = sought.filter(({ kind }) => kind === "body");
  for (const [i, one] of bodies.entries()) {
    for (const other of bodies.slice(i + 1)) {
      const [a, b] = [foundOf(picks, one.id), foundOf(picks, other.id)];
      if (one.frame !== other.frame || a.doubt !== null || b.doubt !== null) continue;
      const px = Math.abs(distance(a.at, b.at) - distance(one.at, other.at));
      if (px <= Math.max(APART_PX, TIMES_U * Math.hypot(a.uPx, b.uPx))) continue;
      for (const { id } of [a, b]) apart.set(id, Math.max(px, apart.get(id) ?? 0));
    }
  }
  return picks.map((pick) => {
    const px = apart.get(pick.id);
    return px === undefined ? pick : { ...pick, doubt: { why: "apart", px } };
  });
}

/** Whether the body lies in a later picture where it was found. */
function stillLies(
  { picks, camera }: FoundSetUp,
  bodies: readonly SoughtPick[],
  former: readonly ClipPicture[],
  { image }: ClipPicture,
): boolean {
  return bodies.every((body) => {
    const before = foundOf(picks, body.id);
    const expected = { at: before.at, turnRad: camera.turnRad, uPx: before.uPx };
    const now = findPick(pictureOf(former, body.frame), image, body, expected);
    const most = Math.max(AT_REST_PX, TIMES_U * Math.hypot(before.uPx, now.uPx));
    return now.doubt === null && distance(now.at, before.at) <= most;
  });
}

function sureOf({ picks }: FoundSetUp, bodies: readonly SoughtPick[]): number {
  return bodies.filter(({ id }) => foundOf(picks, id).doubt === null).length;
}

function foundOf(picks: readonly FoundPick[], id: string): FoundPick {
  return elementAt(
    picks,
    picks.findIndex((pick) => pick.id === id),
  );
}

function pictureOf(former: readonly ClipPicture[], frame: number): GreyImage {
  const found = former.find((one) => one.frame === frame);
  if (found === undefined) throw new RangeError(`findSetUp: no picture of frame ${frame}`);
  return found.image;
}

function distance([ax, ay]: PxPoint, [bx, by]: PxPoint): number {
  return Math.hypot(ax - bx, ay - by);
}
