import type { PxPoint } from "../quantity/point.ts";

/** A place on the flight plane: x forward, the way the airframe flies, y up; m. */
export type PlanePlace = readonly [x: number, y: number];

/**
 * The map from a steadied picture to the flight plane, however it was found (rod and plumb, known points,
 * lens, turn). Only differences of places matter to motion.
 */
export interface PictureMap {
  /** [x, y] px -> m. @throws RangeError where the lens model or the plane does not reach */
  toMetres(at: PxPoint): PlanePlace;
}

const STEP_PX = 0.5; // small beside anything a lens or a plane bends, large beside rounding

/** d(m)/d(px) at a place, [xx, xy, yx, yy]. */
export type MetresByPixels = readonly [xx: number, xy: number, yx: number, yy: number];

/** The derivative of a map at a place, by central differences. */
export function metresByPixels(map: PictureMap, [x, y]: PxPoint): MetresByPixels {
  const [right, left] = [map.toMetres([x + STEP_PX, y]), map.toMetres([x - STEP_PX, y])];
  const [down, up] = [map.toMetres([x, y + STEP_PX]), map.toMetres([x, y - STEP_PX])];
  const span = 2 * STEP_PX;
  return [
    (right[0] - left[0]) / span,
    (down[0] - up[0]) / span,
    (right[1] - left[1]) / span,
    (down[1] - up[1]) / span,
  ];
}

/** Metres per pixel: the root of the area that a square pixel covers. */
export function metresPerPixel([xx, xy, yx, yy]: MetresByPixels): number {
  return Math.sqrt(Math.abs(xx * yy - xy * yx));
}

/** The pixels that a small step on the flight plane covers. */
export function pixelsOf([xx, xy, yx, yy]: MetresByPixels, [dx, dy]: PlanePlace): PxPoint {
  const determinant = xx * yy - xy * yx;
  return [(yy * dx - xy * dy) / determinant, (xx * dy - yx * dx) / determinant];
}
