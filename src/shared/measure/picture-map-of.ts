import type { PxPoint } from "../quantity/point.ts";
import { SCALE_NOTICES } from "../results/notices/scale-notices.ts";
import type { ShotNotice } from "../results/notices/shot-notices.ts";
import { createLens } from "../scale/lens-model.ts";
import type { LensData, Shot } from "../session/schema.ts";
import type { MovedPlane, PictureOnPlane } from "./picture-plane.ts";
import { type PictureSeen, planeByPoints } from "./plane-by-points.ts";
import { planeByRods } from "./plane-by-rods.ts";

/**
 * The map from pictures of a shot to its flight plane: lens, then known points of the plane, or else rods
 * with plumb, level and setting. Null when neither is there or they do not hold together; `notices` say why.
 * @param lens of the camera; undefined without a profile
 * @param picturePx [width, height] of the upright picture; null when the clip was not read
 * @param moved for inputs moved by their uncertainty: what was decided of the stated ones
 */
export function pictureOnPlane(
  shot: Shot,
  lens: LensData | undefined,
  picturePx: readonly [number, number] | null,
  moved: MovedPlane | null = null,
): { readonly plane: PictureOnPlane | null; readonly notices: readonly ShotNotice[] } {
  const notices: ShotNotice[] = [];
  const straighten = straightenerOf(moved?.found.lensUsed === false ? undefined : lens);
  // A lens moved by its uncertainty until it folds is no lens at all; the stated one is only left out.
  if (straighten === null && moved !== null) return { plane: null, notices };
  if (straighten === null) notices.push(SCALE_NOTICES["lens-folds"]());
  const straightened = straighten ?? ((seen: PxPoint) => seen);
  const from = { focalPx: lens?.focalPx ?? null, widthPx: picturePx?.[0] ?? null };
  const plane =
    shot.control === undefined
      ? planeByRods(shot, straightened, opticalAxis(lens, picturePx), from, moved, notices)
      : planeByPoints(
          shot.control,
          shot.direction,
          pictureSeen(lens, picturePx, straightened),
          moved,
          notices,
        );
  if (plane === null) return { plane, notices };
  const found = { ...plane.found, lensUsed: straighten !== null };
  return { plane: { ...plane, found, straighten: straightened }, notices };
}

/** Takes the lens out of a seen place, and puts it back. */
export interface LensOut {
  straighten(seen: PxPoint): PxPoint;
  bend(straight: PxPoint): PxPoint;
}

/** A camera's lens; without a profile that can be used, nothing is bent. */
export function lensOutOf(lens: LensData | undefined): LensOut {
  const made = lens === undefined ? null : createLens(lens);
  return made?.ok === true ? made.value : { straighten: (seen) => seen, bend: (straight) => straight };
}

/** Null for a profile that folds the picture over itself. */
function straightenerOf(lens: LensData | undefined): ((seen: PxPoint) => PxPoint) | null {
  if (lens === undefined) return (seen) => seen;
  // Moved by its uncertainty, a focal length can pass 0: a lens as useless as one that folds.
  const made = lens.focalPx > 0 ? createLens(lens) : null;
  return made?.ok === true ? (seen) => made.value.straighten(seen) : null;
}

/** The picture that known points were picked in. */
function pictureSeen(
  lens: LensData | undefined,
  picturePx: readonly [number, number] | null,
  straighten: (seen: PxPoint) => PxPoint,
): PictureSeen {
  const size = picturePx ?? lens?.picturePx ?? null;
  return {
    straighten,
    hasProfile: lens !== undefined,
    axisPx: opticalAxis(lens, picturePx),
    halfDiagonalPx: size === null ? null : Math.hypot(...size) / 2,
  };
}

/**
 * px, where the camera looks straight ahead: the lens's centre where it was found, or
 * else the picture's middle.
 */
function opticalAxis(
  lens: LensData | undefined,
  picturePx: readonly [number, number] | null,
): PxPoint | null {
  if (lens !== undefined) return lens.centrePx;
  return picturePx === null ? null : [picturePx[0] / 2, picturePx[1] / 2];
}
