import { AGREE_U, anchorOf, fromAnchor, offsetOf } from "./anchor.ts";
import { expectedPlace, type Passed } from "./expected-place.ts";
import { type Placing, type Run, renew, runFrom, samplesOf, search, seedWarp } from "./follow-run.ts";
import type { FollowEnd, Followed, FollowOptions, HandMark, HandMet } from "./followed.ts";
import { boxAround, type GreyImage, sameInside } from "./grey-image.ts";
import { correlatedCovariance } from "./match-covariance.ts";
import type { Warp } from "./match-template.ts";
import { metIn, runOf, UNLIKE, uOf } from "./run-marks.ts";

/**
 * px; a target 20 to 30 px across, which is what a field of 2 to 3 m on a 1080p picture makes of 35 to 60 mm.
 */
export const RADIUS_PX = 12;
/** px; 18 m/s at 240 frames a second and 1.2 mm/px moves as far from frame to frame. */
export const SEARCH_PX = 64;

const FIRST_REACH = 16; // samples; from a hand mark nothing is known of the motion
const REACH = 8;
// a step that short where one of more than MOVING_PX was due: the picture is shown again
const STILL_PX = 0.3;
const MOVING_PX = 1.5;
// px and share of the step that the expected place may be missed by: a release at 240
// frames a second does 2.4
const OFF_PX = 3;
const OFF_SHARE = 0.25;

/** Follows one point through the frames it is shown, in order, from a hand mark on, forwards or backwards. */
export interface Follower {
  /** Shows the next frame. @returns why it ends here; null to go on */
  see(frame: number, image: GreyImage): FollowEnd | null;
  /** All that was followed so far. */
  followed(): Followed;
}

/** Why a frame gives no place. */
type Missed = Pick<FollowEnd, "why" | "number">;

/**
 * Makes a follower of a point. Every place is measured against the template of the hand mark itself, so
 * errors do not add up from frame to frame. A newer template, taken on the way, leads the search when the
 * seed's looks changed, and gives the place only where the seed matches no more (correlation under 0.8); it
 * is anchored where the seed, or the newer template before it, was found in its own frame, and that match's
 * covariance is added to each place it gives. So what could drift is in the stated u, once for each renewal.
 * A hand mark on the way is never replaced. It joins the anchor of the run, which is moved as a whole; one
 * that disagrees with the others is named; one that disagrees where the follower is not sure of itself
 * (unlike, off course, or by a newer template) or has lost the point begins a new run.
 * @param image of the seed's frame
 * @param hands every hand mark of the point, the seed's own may be among them
 */
export function createFollower(
  image: GreyImage,
  seed: HandMark,
  hands: readonly HandMark[] = [],
  options: FollowOptions = {},
): Follower {
  const {
    radiusPx = RADIUS_PX,
    searchPx = SEARCH_PX,
    exposureShare = null,
    timeOf = (frame: number) => frame,
  } = options;
  const byFrame = new Map(hands.map((hand) => [hand.frame, hand]));
  const runs: Run[] = [];
  const begun: HandMet[] = [];
  const track: Passed[] = [];
  let before = image;
  let previous: Placing | null = null;
  let end: FollowEnd | null = null;

  function begin(picture: GreyImage, hand: HandMark): FollowEnd["why"] | null {
    const run = runFrom(picture, hand, radiusPx);
    if (typeof run === "string") return run;
    const [last] = [track.at(-1)];
    const [x, y] = run.seed.template.middle;
    // What is known of the motion goes on from the new place.
    if (last !== undefined) {
      const moved = track.map((warp) => ({
        ...warp,
        x: warp.x + x - last.x,
        y: warp.y + y - last.y,
        theta: warp.theta - last.theta,
      }));
      track.splice(0, track.length, ...moved);
    } else track.push({ x, y, theta: 0, time: timeOf(hand.frame) });
    runs.push(run);
    previous = null;
    return null;
  }

  function see(frame: number, picture: GreyImage): FollowEnd | null {
    if (end !== null) return end;
    const run = runs.at(-1) as Run;
    const hand = byFrame.get(frame) ?? null;
    const expected = expectedPlace(track, timeOf(frame));
    const last = track.at(-1) as Passed;
    const stepPx = Math.hypot(expected.x - last.x, expected.y - last.y);
    const placing = place(run, frame, picture, { expected, last, stepPx });
    before = picture;
    if ("warp" in placing) {
      previous = placing;
      if (!placing.repeat) {
        track.push({ ...placing.warp, time: timeOf(frame) });
        if (track.length > 3) track.shift();
      }
      if (hand === null) {
        run.placings.push(placing);
        return null;
      }
      if (meets(run, placing, hand)) return null;
    }
    if (hand !== null) {
      const why = begin(picture, hand);
      end = why === null ? null : { why, frame, number: 0 };
      return end;
    }
    end = "why" in placing ? { ...reasoned(placing, stepPx), frame } : null;
    return end;
  }

  /** Why it was not found, where the blur says more than the search. */
  function reasoned(missed: Missed, stepPx: number): Missed {
    const blurPx = exposureShare === null ? 0 : stepPx * exposureShare;
    return missed.why !== "left" && blurPx > radiusPx / 2 ? { why: "blurred", number: blurPx } : missed;
  }

  function place(
    run: Run,
    frame: number,
    picture: GreyImage,
    { expected, last, stepPx }: { readonly expected: Warp; readonly last: Warp; readonly stepPx: number },
  ): Placing | Missed {
    const box = boxAround(picture, [last.x, last.y], 2 * radiusPx);
    if (stepPx > MOVING_PX && previous !== null && box !== null && sameInside(before, picture, box)) {
      return { ...previous, frame, repeat: true, offCourse: false };
    }
    const near = track.length === 1 ? FIRST_REACH : REACH;
    const found = search(run, picture, expected, near, searchPx);
    if ("why" in found) return found;
    const { match, by } = found;
    const own = correlatedCovariance(by.template, match);
    const warp = "from" in by ? seedWarp(by, match) : match;
    const missedBy = Math.hypot(warp.x - expected.x, warp.y - expected.y);
    const stepped = Math.hypot(warp.x - last.x, warp.y - last.y);
    const repeat = stepped < STILL_PX && stepPx > MOVING_PX && track.length > 2;
    // After a repeat the next step may be one or two long: that is no doubt of the place.
    const onCourse = repeat || previous?.repeat === true || missedBy <= OFF_PX + OFF_SHARE * stepPx;
    const placing: Placing = {
      frame,
      warp: { x: warp.x, y: warp.y, theta: warp.theta },
      covariance: "from" in by ? own.map((v, i) => v + by.from.covariance[i]) : own,
      likeness: match.likeness,
      renewals: "from" in by ? by.from.renewals + 1 : 0,
      repeat,
      offCourse: track.length > 2 && !onCourse,
    };
    renew(run, picture, placing, found);
    return placing;
  }

  /**
   * Joins a hand mark to the run; where the follower is not sure of itself and the hand mark says
   * otherwise, the run is over.
   */
  function meets(run: Run, placing: Placing, hand: HandMark): boolean {
    const anchor = anchorOf(run.hands);
    const offset = offsetOf(placing.warp, samplesOf(hand));
    const here = { frame: hand.frame, offset, u: hand.u, placeU: uOf(placing, anchor) };
    const { px, u } = fromAnchor(here, anchor);
    const sure = placing.likeness >= UNLIKE && placing.renewals === 0 && !placing.offCourse;
    if (!sure && u > AGREE_U) {
      begun.push({ frame: hand.frame, distancePx: px, distanceU: u, agrees: false, begins: true });
      return false;
    }
    run.hands.push(here);
    return true;
  }

  const refused = begin(image, seed);
  if (refused !== null) end = { why: refused, frame: seed.frame, number: 0 };
  const met = () => [...runs.flatMap(metIn), ...begun].sort((a, b) => (a.frame - b.frame) * way());
  const way = () => ((runs.at(-1)?.placings.at(-1)?.frame ?? seed.frame) < seed.frame ? -1 : 1);
  return { see, followed: (): Followed => ({ runs: runs.map(runOf), met: met(), end }) };
}

/**
 * Follows a point through frames that are at hand: the follower, shown one after the other until it ends.
 * @param frames after the seed's own, forwards or backwards
 */
export function followPoint(
  imageOf: (frame: number) => GreyImage,
  seed: HandMark,
  frames: Iterable<number>,
  hands: readonly HandMark[] = [],
  options: FollowOptions = {},
): Followed {
  const follower = createFollower(imageOf(seed.frame), seed, hands, options);
  if (follower.followed().end !== null) return follower.followed();
  for (const frame of frames) if (follower.see(frame, imageOf(frame)) !== null) break;
  return follower.followed();
}
