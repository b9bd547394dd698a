import type { Measured } from "../quantity/measured.ts";
import type { PxPoint } from "../quantity/point.ts";
import { ok, type Result, refuse } from "../quantity/result.ts";
import {
  denormalisedMatrix,
  directLinear,
  normalised,
  normaliserOf,
  type Pair,
} from "../scale/homography-map.ts";
import type { PlanePlace } from "../scale/picture-map.ts";
import { UnseenPlaceError } from "../scale/unseen-place.ts";
import type { CommonPlace } from "./origins.ts";
import type { ShotOnPlane } from "./shot-on-plane.ts";

/** A map from picture to picture, row by row: (x, y, 1) -> (X W, Y W, W), W > 0 where it is seen. */
export type PictureToPicture = readonly [
  ...[xx: number, xy: number, x: number],
  ...[yx: number, yy: number, y: number],
  ...[wx: number, wy: number, w: number],
];

/** How the second shot's picture lies on the first's. */
export interface LaidOver {
  /** seen px of the second -> seen px of the first */
  readonly matrix: PictureToPicture;
  /** How many times its size the second is drawn, at the place that falls together. */
  readonly enlarged: Measured;
  /** px of the first's picture, standard uncertainty of each coordinate of the place that falls together */
  readonly placeUPx: number;
  /** px, by how much the matrix is off at most in what both show: a bend of lenses that no matrix has. */
  readonly bendPx: number;
}

export type NotLaid = "untied-first" | "untied-second" | "unseen" | "apart";

const ABOUT_PX = 50; // half the side of the square that a plane's map is read in: any size gives the same map
const GRID = 24; // places along each side of the second picture that its bend is judged at
const NEEDED = 8; // of those, what both pictures must show: twice what a map takes

/**
 * The second picture on the first: both go to their flight planes by their own lens, steadying, scale and
 * upright (or known points), forward to forward and up to up, and a place that both have falls together:
 * X_1 = H_1⁻¹ (H_2 X_2 - o_2 + o_1). Planes are seen by a homography; with a lens the nearest one to where
 * the places come to lie is given, and by how much that is off.
 * @param frames which frame of each, for cameras that move
 * @returns refusals: "untied-…" for a frame whose camera's place is not known, "unseen" where the plane is
 *   seen edge on, "apart" where hardly anything of the second lies within the first
 */
export function laidOver(
  [first, second]: readonly [ShotOnPlane, ShotOnPlane],
  { places: [here, there] }: Pick<CommonPlace, "places">,
  frames: readonly [number, number],
): Result<LaidOver, NotLaid> {
  const [toFirst, toSecond] = [first.mapOf(frames[0]), second.mapOf(frames[1])];
  if (toFirst === null) return refuse("untied-first");
  if (toSecond === null) return refuse("untied-second");
  const shifted = ([x, y]: PlanePlace): PlanePlace => [
    x - there.at[0] + here.at[0],
    y - there.at[1] + here.at[1],
  ];
  try {
    const about = squareAbout(first.seenNear(frames[0]));
    const back = mapThrough(
      about.map((px) => toFirst(px)),
      about,
    );
    const from = squareAbout(second.seenNear(frames[1]));
    const flat =
      back &&
      mapThrough(
        from,
        from.map((px) => mapped(back, shifted(toSecond(px))).at),
      );
    const ahead = mapThrough(
      from.map((px) => toSecond(px)),
      from,
    );
    if (!back || !flat || !ahead) return refuse("unseen");
    const seen = throughLenses(first, second, flat);
    if (seen === null) return refuse("apart");
    const place = second.lens.bend(mapped(ahead, there.at).at);
    const same = first.shotId === second.shotId;
    const times = sizeAt(seen.matrix, place);
    const relative = same ? 0 : Math.hypot(relativeU(first.scale), relativeU(second.scale));
    const apartM = same ? 0 : Math.hypot(here.u, there.u);
    return ok({
      ...seen,
      enlarged: { value: times, u: times * relative },
      placeUPx: apartM * sizeAt(back, here.at),
    });
  } catch (error) {
    if (error instanceof UnseenPlaceError) return refuse("unseen");
    throw error;
  }
}

function relativeU({ value, u }: Measured): number {
  return u / value;
}

function squareAbout([x, y]: PxPoint): readonly PxPoint[] {
  return [-ABOUT_PX, ABOUT_PX].flatMap((dx) => [-ABOUT_PX, ABOUT_PX].map((dy): PxPoint => [x + dx, y + dy]));
}

/** Where a map shows a place, and its W. */
export function mapped(m: PictureToPicture, [x, y]: Pair): { readonly at: PxPoint; readonly depth: number } {
  const depth = m[6] * x + m[7] * y + m[8];
  return {
    at: [(m[0] * x + m[1] * y + m[2]) / depth, (m[3] * x + m[4] * y + m[5]) / depth],
    depth,
  };
}

/** The homography of four or more pairs, W > 0 in their middle; null where they leave more than one. */
function mapThrough(from: readonly Pair[], to: readonly Pair[]): PictureToPicture | null {
  const [a, b] = [normaliserOf(from), normaliserOf(to)];
  const h = directLinear(
    from.map((one) => normalised(a, one)),
    to.map((one) => normalised(b, one)),
  );
  if (h === null) return null;
  const all: readonly number[] = [...denormalisedMatrix([...h, 1], a, b)];
  return all as PictureToPicture;
}

/** Times a small length there becomes as long: the root of the area that a unit square is drawn with. */
function sizeAt(m: PictureToPicture, place: Pair): number {
  const { at, depth } = mapped(m, place);
  const [xx, xy] = [m[0] - at[0] * m[6], m[1] - at[0] * m[7]];
  const [yx, yy] = [m[3] - at[1] * m[6], m[4] - at[1] * m[7]];
  return Math.sqrt(Math.abs(xx * yy - xy * yx)) / depth;
}

/**
 * From seen px to seen px: `flat` itself without lenses. Null where fewer than a few places of the second
 * lie within the first.
 */
function throughLenses(
  first: ShotOnPlane,
  second: ShotOnPlane,
  flat: PictureToPicture,
): Pick<LaidOver, "matrix" | "bendPx"> | null {
  const [width, height] = first.picturePx;
  const from: PxPoint[] = [];
  const to: PxPoint[] = [];
  for (const place of gridOf(second.picturePx)) {
    const straight = straightened(second, place);
    if (straight === null) continue;
    const there = mapped(flat, straight);
    if (!(there.depth > 0)) continue;
    const at = first.lens.bend(there.at);
    if (at[0] < 0 || at[0] > width || at[1] < 0 || at[1] > height) continue;
    from.push(place);
    to.push(at);
  }
  if (from.length < NEEDED) return null;
  if (!first.bends && !second.bends) return { matrix: flat, bendPx: 0 };
  const matrix = mapThrough(from, to);
  if (matrix === null) return null;
  const off = from.map((one, i) => {
    const { at } = mapped(matrix, one);
    const [x, y] = to[i] as PxPoint;
    return Math.hypot(at[0] - x, at[1] - y);
  });
  return { matrix, bendPx: Math.max(...off) };
}

function straightened({ lens }: ShotOnPlane, seen: PxPoint): PxPoint | null {
  try {
    return lens.straighten(seen);
  } catch (error) {
    if (error instanceof UnseenPlaceError) return null; // a corner that the lens's model does not reach
    throw error;
  }
}

function gridOf([width, height]: readonly [number, number]): readonly PxPoint[] {
  const along = Array.from({ length: GRID + 1 }, (_, i) => i / GRID);
  return along.flatMap((x) => along.map((y): PxPoint => [x * width, y * height]));
}
