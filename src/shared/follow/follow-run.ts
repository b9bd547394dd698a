import type { HandOffset } from "./anchor.ts";
import { offsetOf, placed } from "./anchor.ts";
import {
  findTemplate,
  LEAST_GAIN,
  LEAST_LIKENESS,
  matchNear,
  type NotFound,
  type Sought,
} from "./find-template.ts";
import type { HandMark } from "./followed.ts";
import type { GreyImage } from "./grey-image.ts";
import type { WarpCovariance } from "./match-covariance.ts";
import type { Match, Warp } from "./match-template.ts";
import { seedDisc } from "./seed-disc.ts";
import { templateAt } from "./template.ts";

const HALF_PX = 0.5; // a session's pixel counts from the corner, a sample from the middle
const RENEW_SEEN = 0.97; // likeness to the seed below which a newer template is kept at hand
const RENEW_MUST = 0.93; // likeness to the newer template below which it is replaced, at the cost of its u

/** A place of the seed template in a frame, with what is not known of it. */
export interface Placing {
  readonly frame: number;
  /** Of the frame, in the unit of the follower's times. */
  readonly time: number;
  readonly warp: Warp;
  readonly covariance: WarpCovariance;
  readonly likeness: number;
  readonly renewals: number;
  readonly offCourse: boolean;
  /** Another thing like it was near from the beginning, and nothing yet told the two apart. */
  readonly twin: boolean;
  /** The first after frames in which it was not seen. */
  readonly afterGap: boolean;
}

/** A template taken from a frame on the way, and where the seed template lay then. */
export interface Renewed extends Sought {
  readonly from: Placing;
}

/** Everything measured against one hand mark's template. */
export interface Run {
  readonly seed: Sought;
  readonly hands: HandOffset[];
  readonly placings: Placing[];
  /** Frames that show the picture before them again. */
  readonly repeats: Set<number>;
  renewed: Renewed | null;
}

/** A fresh run from a hand mark; or why the picture there gives none. */
export function runFrom(
  image: GreyImage,
  hand: HandMark,
  radiusPx: number | null,
): Run | "edge" | "no-detail" | "shaded" {
  const at = samplesOf(hand);
  const middle = [Math.round(at[0]), Math.round(at[1])] as const;
  const seed = seedDisc(image, middle, radiusPx);
  if (typeof seed === "string") return seed;
  const there: Warp = { x: middle[0], y: middle[1], theta: 0 };
  return {
    seed,
    hands: [{ frame: hand.frame, offset: offsetOf(there, at), u: hand.u, placeU: 0 }],
    placings: [],
    repeats: new Set(),
    renewed: null,
  };
}

/** A match, and the template that gave it. */
export interface FoundBy {
  readonly match: Match;
  readonly by: Sought | Renewed;
  /** Likeness to the newer template, where there is one. */
  readonly toRenewed: number;
}

/** Led by the newer template where there is one, and measured by the seed wherever that still matches. */
export function search(
  { seed, renewed }: Run,
  picture: GreyImage,
  expected: readonly Warp[],
  near: number,
  most: number,
): FoundBy | NotFound {
  if (renewed !== null) {
    const found = findTemplate(
      renewed,
      picture,
      expected.map((one) => renewedWarp(renewed, one)),
      near,
      most,
    );
    if ("match" in found) {
      const own = matchNear(seed, picture, seedWarp(renewed, found.match));
      const bySeed = own !== null && own.likeness >= LEAST_LIKENESS && own.gain >= LEAST_GAIN;
      const toRenewed = found.match.likeness;
      return bySeed ? { match: own, by: seed, toRenewed } : { match: found.match, by: renewed, toRenewed };
    }
  }
  const found = findTemplate(seed, picture, expected, near, most);
  return "match" in found ? { match: found.match, by: seed, toRenewed: 0 } : found;
}

/**
 * Takes a newer template from this frame: freely where the seed placed it, else only when
 * the last one looks too old.
 */
export function renew(
  run: Run,
  picture: GreyImage,
  placing: Placing,
  { by, match, toRenewed }: FoundBy,
): void {
  const wanted =
    "from" in by ? match.likeness < RENEW_MUST : match.likeness < RENEW_SEEN && toRenewed < RENEW_SEEN;
  if (!wanted) return;
  const middle = [Math.round(placing.warp.x), Math.round(placing.warp.y)] as const;
  const template = templateAt(picture, middle, run.seed.template.radius);
  if (template !== null) run.renewed = { template, turns: run.seed.turns, from: placing };
}

/** Where a template, the seed's or a newer one, lies when the seed's lies so. */
export function lyingOf(by: Sought | Renewed, seed: Warp): Warp {
  return "from" in by ? renewedWarp(by, seed) : seed;
}

/** Where the newer template lies when the seed's lies so. */
function renewedWarp({ template, from }: Renewed, seed: Warp): Warp {
  const [x, y] = placed(seed, offsetOf(from.warp, template.middle));
  return { x, y, theta: seed.theta - from.warp.theta };
}

/** Where the seed's template lies when a newer one lies so. */
export function seedWarp({ template, from }: Renewed, { x, y, theta }: Warp): Warp {
  const turned = theta + from.warp.theta;
  const [dx, dy] = placed({ x: 0, y: 0, theta: turned }, offsetOf(from.warp, template.middle));
  return { x: x - dx, y: y - dy, theta: turned };
}

/** Where a hand put the point, in samples. */
export function samplesOf({ at }: HandMark): readonly [number, number] {
  return [at[0] - HALF_PX, at[1] - HALF_PX];
}
