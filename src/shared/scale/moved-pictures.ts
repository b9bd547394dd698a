import { type Covariance2, carried } from "../numeric/covariance.ts";
import type { PxPoint } from "../quantity/point.ts";
import { byPlace, type Homography8, project, unproject } from "./homography-map.ts";
import type { SteadyPicture, SteadyPictures } from "./steady-pictures.ts";

/** Where a frame shows the corners of the reference picture. */
export interface MovedFrame {
  readonly frame: number;
  /** px, x and y of each, from the top left clockwise; [8]. */
  readonly corners: readonly number[];
  /** px, standard uncertainty of a place in the frame's middle, and at its corners. */
  readonly u: readonly [middle: number, corner: number];
}

export interface MovedFrames {
  readonly referenceFrame: number;
  /** [width, height] */
  readonly picturePx: readonly [number, number];
  readonly frames: readonly MovedFrame[];
}

/**
 * The pictures of a camera whose movement is known frame by frame, brought to the reference frame. What a
 * place in a frame is uncertain by grows from the middle to the corners, its variance with the square of the
 * distance. A frame whose corners make no picture is as one that is missing.
 */
export function movedPictures({ referenceFrame, picturePx, frames }: MovedFrames): SteadyPictures {
  const known = new Map<number, SteadyPicture>([[referenceFrame, AS_IT_IS]]);
  for (const moved of frames) {
    if (moved.frame === referenceFrame) continue;
    const map = mapOfCorners(moved.corners, picturePx);
    if (map !== null) known.set(moved.frame, steadyPicture(map, moved.u, picturePx));
  }
  return { referenceFrame, at: (frame) => known.get(frame) ?? null };
}

const AS_IT_IS: SteadyPicture = {
  steady: (px) => px,
  covariance: (_, mark) => ({ mark, frame: [0, 0, 0] }),
};

function steadyPicture(
  map: Homography8,
  [middle, corner]: readonly [number, number],
  [width, height]: readonly [number, number],
): SteadyPicture {
  const steady = (px: PxPoint) => unproject(map, px).at;
  return {
    steady,
    covariance(px, [xx, xy, yy]) {
      const back = inverted(byPlace(map, steady(px)));
      const far = ((px[0] - width / 2) ** 2 + (px[1] - height / 2) ** 2) / ((width ** 2 + height ** 2) / 4);
      const variance = middle ** 2 + far * Math.max(0, corner ** 2 - middle ** 2);
      const frame: Covariance2 = carried(back, [variance, 0, 0, variance], 2);
      return { mark: carried(back, [xx, xy, xy, yy], 2), frame };
    },
  };
}

function inverted([a, b, c, d]: readonly [number, number, number, number]) {
  const det = a * d - b * c;
  return [d / det, -b / det, -c / det, a / det] as const;
}

/** Where a map puts the corners of a picture, px, from the top left clockwise; [8]. */
export function cornersOf(map: Homography8, [width, height]: readonly [number, number]): readonly number[] {
  const corners: readonly PxPoint[] = [
    [0, 0],
    [width, 0],
    [width, height],
    [0, height],
  ];
  return corners.flatMap((corner) => [...project(map, corner).at]);
}

/**
 * The map that puts a picture's corners there; null where the four make no picture.
 * Source: Heckbert, Fundamentals of Texture Mapping and Image Warping, UCB/CSD 89/516 (1989), 2.2.3.
 */
export function mapOfCorners(
  corners: readonly number[],
  [width, height]: readonly [number, number],
): Homography8 | null {
  const [x0, y0, x1, y1, x2, y2, x3, y3] = corners as [
    ...[number, number, number, number],
    ...[number, number, number, number],
  ];
  const [sx, sy] = [x0 - x1 + x2 - x3, y0 - y1 + y2 - y3];
  const [dx1, dy1, dx2, dy2] = [x1 - x2, y1 - y2, x3 - x2, y3 - y2];
  const det = dx1 * dy2 - dy1 * dx2;
  const g = (sx * dy2 - sy * dx2) / det;
  const h = (dx1 * sy - dy1 * sx) / det;
  const map = [
    (x1 - x0 + g * x1) / width,
    (x3 - x0 + h * x3) / height,
    x0,
    (y1 - y0 + g * y1) / width,
    (y3 - y0 + h * y3) / height,
    y0,
    g / width,
    h / height,
  ];
  // Seen from the front, and not mirrored: the third coordinate is positive at all four, and with y down the
  // corner at the bottom right turns the other way.
  const inFront = 1 + g > 0 && 1 + h > 0 && 1 + g + h > 0;
  return det < 0 && inFront && map.every(Number.isFinite) ? map : null;
}
