import type { Measured } from "../quantity/measured.ts";
import type { PxPoint } from "../quantity/point.ts";
import { PLANE_NOTICES, SCALE_NOTICES } from "../results/notices/scale-notices.ts";
import type { ShotNotice } from "../results/notices/shot-notices.ts";
import { combinedScale } from "../scale/combined-scale.ts";
import { flightPlane } from "../scale/flight-plane.ts";
import { createLens } from "../scale/lens-model.ts";
import { type ReferenceLine, rollFromLines } from "../scale/level.ts";
import { scaleOnFlightPlane } from "../scale/parallax.ts";
import type { PictureMap } from "../scale/picture-map.ts";
import { type PlaneRefusal, planeHomography } from "../scale/plane-homography.ts";
import { turnedPlane } from "../scale/turned-plane.ts";
import type { ControlPoints, LensData, Scale, Shot } from "../session/schema.ts";

/** How the picture lies on the flight plane, found from what the person marked. */
export interface PictureOnPlane {
  /** px of a picture with the lens taken out and steadied -> m. */
  readonly map: PictureMap;
  /** Takes the lens out of a seen place. */
  straighten(seen: PxPoint): PxPoint;
  /** m/px by the rods, or in the middle of the known points. */
  readonly scale: Measured;
  /** rad, roll of the picture. */
  readonly rollRad: Measured;
  readonly by: "rods" | "control";
}

/** rad: a camera levelled by eye is within about a degree. Common practice, no source. */
export const UNPLUMBED_U = 0.0175;

/**
 * The map from pictures of a shot to its flight plane: lens, then known points of the plane, or else rods
 * with plumb, level and setting. Null when neither is there or they do not hold together; `notices` say why.
 * @param lens of the camera; undefined without a profile
 * @param picturePx [width, height] of the upright picture; null when the clip was not read
 */
export function pictureOnPlane(
  shot: Shot,
  lens: LensData | undefined,
  picturePx: readonly [number, number] | null,
): { readonly plane: PictureOnPlane | null; readonly notices: readonly ShotNotice[] } {
  const notices: ShotNotice[] = [];
  const straighten = straightenerOf(lens, notices);
  const plane =
    shot.control === undefined
      ? byRods(shot, straighten, opticalAxis(lens, picturePx), notices)
      : byControl(shot.control, shot.direction, straighten, notices);
  return { plane: plane === null ? null : { ...plane, straighten }, notices };
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

function straightenerOf(lens: LensData | undefined, notices: ShotNotice[]): (seen: PxPoint) => PxPoint {
  if (lens === undefined) return (seen) => seen;
  // Moved by its uncertainty, a focal length can pass 0: a lens as useless as one that folds.
  const made = lens.focalPx > 0 ? createLens(lens) : null;
  if (made?.ok === true) return (seen) => made.value.straighten(seen);
  notices.push(SCALE_NOTICES["lens-folds"]());
  return (seen) => seen;
}

type Plane = Omit<PictureOnPlane, "straighten">;

function byControl(
  control: ControlPoints,
  direction: Shot["direction"],
  straighten: (seen: PxPoint) => PxPoint,
  notices: ShotNotice[],
): Plane | null {
  const fitted = planeHomography(
    control.points.map(({ at, xM, yM }) => ({
      px: straighten(at),
      uPx: control.uPx,
      metres: [xM, yM],
      uM: control.uM,
    })),
  );
  if (!fitted.ok) {
    notices.push(controlRefusal(fitted.code, fitted.numbers));
    return null;
  }
  const { map } = fitted.value;
  const way = direction === "right" ? 1 : -1;
  const middle = control.points.reduce<[number, number]>(
    ([x, y], { at }) => [x + at[0] / control.points.length, y + at[1] / control.points.length],
    [0, 0],
  );
  const scale = map.localScale(middle, [1, 0]);
  return {
    by: "control",
    map: {
      toMetres: (at) => {
        const [x, y] = map.toMetres(at);
        return [way * x, y];
      },
    },
    scale: { value: scale, u: scale * map.speedSystematic(middle, [1, 0]) },
    rollRad: { value: 0, u: 0 },
  };
}

function byRods(
  shot: Shot,
  straighten: (seen: PxPoint) => PxPoint,
  axisPx: PxPoint | null,
  notices: ShotNotice[],
): Plane | null {
  const rods = [...(shot.scale === null ? [] : [shot.scale]), ...(shot.rods ?? [])];
  const scale = scaleOf(shot, rods, straighten, notices);
  const rollRad = rollOf(shot, straighten, notices);
  if (scale === null) return null;
  const flat = flightPlane(scale.value, rollRad.value, "right");
  const way = shot.direction === "right" ? 1 : -1;
  const mirrored = ([x, y]: readonly [number, number]): readonly [number, number] => [way * x, y];
  const { setting } = shot;
  if (setting === undefined || (setting.turnRad.value === 0 && setting.turnRad.u === 0)) {
    return { by: "rods", map: { toMetres: (at) => mirrored(flat.toMetres(at)) }, scale, rollRad };
  }
  // The turn is seen in perspective about the optical axis; where that is not known it is
  // taken as seen from afar.
  const pivot = flat.toMetres(rodMiddle(rods, straighten));
  const centre = axisPx === null ? pivot : flat.toMetres(axisPx);
  const turned = turnedPlane({
    turnRad: setting.turnRad,
    distanceM: axisPx === null ? null : setting.distanceM,
    pivotM: pivot[0] - centre[0],
  });
  if (!turned.ok) {
    notices.push(SCALE_NOTICES[turned.code]());
    return null;
  }
  return {
    by: "rods",
    map: {
      toMetres: (at) => {
        const [x, y] = flat.toMetres(at);
        return mirrored(turned.value.toPlane([x - centre[0], y - centre[1]]));
      },
    },
    scale,
    rollRad,
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

function rodMiddle([rod]: readonly Scale[], straighten: (seen: PxPoint) => PxPoint): PxPoint {
  if (rod === undefined) return [0, 0];
  const [a, b] = [straighten(rod.a), straighten(rod.b)];
  return [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
}

function scaleOf(
  shot: Shot,
  rods: readonly Scale[],
  straighten: (seen: PxPoint) => PxPoint,
  notices: ShotNotice[],
): Measured | null {
  const { setting } = shot;
  if (rods.some(({ rodM }) => !(rodM.value > 0)) || !((setting?.distanceM.value ?? 1) > 0)) {
    notices.push(SCALE_NOTICES["no-scale"]("no-length"));
    return null;
  }
  const placed = rods.map(({ a, b, uPx, rodM }) => ({
    a: straighten(a),
    b: straighten(b),
    uPx,
    rodM,
    sameRod: null,
  }));
  const combined = combinedScale(placed);
  if (!combined.ok) {
    notices.push(scaleRefusal(combined.code, combined.numbers));
    return null;
  }
  if (shot.setting === undefined) return combined.value.scale;
  const { distanceM, nearerM } = shot.setting;
  const moved = scaleOnFlightPlane(combined.value.scale, distanceM, nearerM);
  if (moved.ok) return moved.value;
  notices.push(SCALE_NOTICES[moved.code]());
  return null;
}

function rollOf(shot: Shot, straighten: (seen: PxPoint) => PxPoint, notices: ShotNotice[]): Measured {
  const lines: ReferenceLine[] = [];
  if (shot.plumb !== null) {
    const { top, bottom, uPx, hangRad } = shot.plumb;
    lines.push({ kind: "plumb", a: straighten(top), b: straighten(bottom), uPx, trueRad: hangRad });
  }
  if (shot.level !== undefined) {
    const { left, right, uPx, tiltRad } = shot.level;
    lines.push({ kind: "level", a: straighten(left), b: straighten(right), uPx, trueRad: tiltRad });
  }
  const roll = rollFromLines(lines);
  if (roll.ok) return roll.value.rollRad;
  notices.push(rollWarning(roll.code, roll.numbers));
  return { value: 0, u: UNPLUMBED_U };
}

type Numbers = Readonly<Record<string, number>>;

function scaleRefusal(code: "no-rods" | "too-close" | "rods-disagree", numbers: Numbers): ShotNotice {
  switch (code) {
    case "no-rods":
      return SCALE_NOTICES["no-scale"](code);
    case "too-close":
      return SCALE_NOTICES["scale-too-close"](numbers.separationPx ?? 0, numbers.neededPx ?? 0);
    case "rods-disagree":
      return SCALE_NOTICES["rods-disagree"](numbers.spread ?? 0, numbers.rod ?? 0);
  }
}

function rollWarning(code: "no-lines" | "too-close" | "lines-disagree", numbers: Numbers): ShotNotice {
  switch (code) {
    case "no-lines":
      return SCALE_NOTICES["no-plumb"]();
    case "too-close":
      return SCALE_NOTICES["plumb-too-close"](numbers.separationPx ?? 0, numbers.neededPx ?? 0);
    case "lines-disagree":
      return SCALE_NOTICES["plumb-and-level-disagree"]();
  }
}

function controlRefusal(code: PlaneRefusal, numbers: Numbers): ShotNotice {
  const point = (numbers.point ?? 0) + 1;
  switch (code) {
    case "too-few-points":
      return PLANE_NOTICES["plane-too-few-points"](numbers.points ?? 0, numbers.needed ?? 4);
    case "points-disagree":
    case "horizon-between-points":
      return PLANE_NOTICES[`plane-${code}`](point);
    default:
      return PLANE_NOTICES[`plane-${code}`]();
  }
}
