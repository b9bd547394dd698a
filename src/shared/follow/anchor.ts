import type { Warp } from "./match-template.ts";

/** Where a point lies on a template: right and down from its middle, in the template's own axes, samples. */
export type Offset = readonly [number, number];

/** Where a hand mark puts the point on the template. */
export interface HandOffset {
  readonly frame: number;
  readonly offset: Offset;
  /** px, of the hand mark's coordinates. */
  readonly u: number;
  /** px, of the template's own place in that frame; 0 in the frame it was taken from. */
  readonly placeU: number;
}

export interface Anchor {
  readonly offset: Offset;
  /** u of each coordinate. */
  readonly u: number;
  /** The hand marks it is the mean of. */
  readonly hands: readonly HandOffset[];
}

/**
 * In standard uncertainties: one honest hand mark in 3000 lies farther off in the plane, √(χ²
 * of 2 at 1 - 1/3000) = 4.0.
 */
export const AGREE_U = 4;

/**
 * The point on the template as several hand marks put it: the mean, weighted by 1/u², of the largest set of
 * them that lie within 4 u of one of their number (of sets as large, that of the earliest); u = 1/√Σ 1/u².
 * Every mark of the run moves with it, so that a hand mark met on the way makes no step in the track; a
 * misclick, even the first, is outvoted as soon as two others agree.
 * Source: JCGM 100:2008, 5.1.2, for the mean of independent hand marks.
 * @throws RangeError without a hand mark
 */
export function anchorOf(hands: readonly HandOffset[]): Anchor {
  let most: readonly HandOffset[] = [];
  for (const one of hands) {
    const near = hands.filter((other) => other === one || apartU(one, other) <= AGREE_U);
    if (near.length > most.length) most = near;
  }
  if (most.length === 0) throw new RangeError("anchorOf: need a hand mark");
  let [x, y, sum] = [0, 0, 0];
  for (const { offset, u, placeU } of most) {
    const weight = 1 / (u ** 2 + placeU ** 2);
    x += weight * offset[0];
    y += weight * offset[1];
    sum += weight;
  }
  return { offset: [x / sum, y / sum], u: 1 / Math.sqrt(sum), hands: most };
}

function apartU(a: HandOffset, b: HandOffset): number {
  const px = Math.hypot(a.offset[0] - b.offset[0], a.offset[1] - b.offset[1]);
  return px / Math.hypot(a.u, b.u, a.placeU, b.placeU);
}

/** px and u from a hand mark to the anchor; a mark that is in the mean shares its error with it. */
export function fromAnchor(hand: HandOffset, anchor: Anchor): { readonly px: number; readonly u: number } {
  const px = Math.hypot(hand.offset[0] - anchor.offset[0], hand.offset[1] - anchor.offset[1]);
  const own = hand.u ** 2 + hand.placeU ** 2;
  const variance = anchor.hands.includes(hand) ? own - anchor.u ** 2 : own + anchor.u ** 2;
  return { px, u: variance > 1e-12 * own ? px / Math.sqrt(variance) : 0 };
}

/** Where an offset on the template lies in the picture. */
export function placed({ x, y, theta }: Warp, [dx, dy]: Offset): readonly [number, number] {
  const [c, s] = [Math.cos(theta), Math.sin(theta)];
  return [x + c * dx - s * dy, y + s * dx + c * dy];
}

/** The inverse of placed. */
export function offsetOf({ x, y, theta }: Warp, [u, v]: readonly [number, number]): Offset {
  const [c, s] = [Math.cos(theta), Math.sin(theta)];
  return [c * (u - x) + s * (v - y), -s * (u - x) + c * (v - y)];
}
