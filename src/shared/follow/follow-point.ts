import { AGREE_U, anchorOf, fromAnchor, offsetOf } from "./anchor.ts";
import { type Course, createCourse, type Expected } from "./course.ts";
import {
  type FoundBy,
  lyingOf,
  type Placing,
  type Run,
  renew,
  runFrom,
  samplesOf,
  search,
  seedWarp,
} from "./follow-run.ts";
import type { FollowEnd, Followed, FollowOptions, HandMark, HandMet } from "./followed.ts";
import type { GreyImage } from "./grey-image.ts";
import type { WarpCovariance } from "./match-covariance.ts";
import type { Warp } from "./match-template.ts";
import { placeCovariance } from "./place-covariance.ts";
import { metIn, runOf, UNLIKE, uOf } from "./run-marks.ts";
import { isStill } from "./still-picture.ts";
import { stoodThere, tellsFromTwin, twinDistance } from "./twins.ts";

/** px; 18 m/s at 240 frames a second and 1.2 mm/px moves as far from frame to frame. */
export const SEARCH_PX = 64;

const FIRST_REACH = 16; // samples; from a hand mark nothing is known of the motion
const REACH = 8;

/** Follows one point through the frames it is shown, in order, from a hand mark on, forwards or backwards. */
export interface Follower {
  /** Shows the next frame. @returns why it ends here; null to go on */
  see(frame: number, image: GreyImage): FollowEnd | null;
  /** All that was followed so far. */
  followed(): Followed;
}

// frames in a row in which it may not be seen, as behind a post or in smoke
const MOST_MISSED = 30;
// what it takes to be it again: likeness, share of the contrast, and px and share of the way since it was
// last seen
const LIKE_BEFORE = 0.9;
const GAIN_BEFORE = 0.5;
const BACK_PX = 3;
const BACK_SHARE = 0.15;

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
    radiusPx = null,
    searchPx = SEARCH_PX,
    exposureShare = null,
    timeOf = (frame: number) => frame,
  } = options;
  const byFrame = new Map(hands.map((hand) => [hand.frame, hand]));
  const runs: Run[] = [];
  const begun: HandMet[] = [];
  let course: Course | null = null;
  let before = image;
  let seedPicture = image;
  let twinPx: number | null = null;
  let nearestPx = Number.POSITIVE_INFINITY;
  let missing: FollowEnd | null = null;
  let missed = 0;
  let end: FollowEnd | null = null;

  function begin(picture: GreyImage, hand: HandMark): FollowEnd["why"] | null {
    const run = runFrom(picture, hand, radiusPx);
    if (typeof run === "string") return run;
    const [x, y] = run.seed.template.middle;
    const place = { x, y, theta: 0, time: timeOf(hand.frame) };
    // What is known of the motion goes on from the new place.
    if (course === null) course = createCourse(place);
    else course.moveTo(place);
    runs.push(run);
    seedPicture = picture;
    twinPx = twinDistance(run.seed, picture, searchPx);
    nearestPx = twinPx ?? Number.POSITIVE_INFINITY;
    [missing, missed] = [null, 0];
    return null;
  }

  function see(frame: number, picture: GreyImage): FollowEnd | null {
    if (end !== null) return end;
    const run = runs.at(-1) as Run;
    const hand = byFrame.get(frame) ?? null;
    const known = course as Course;
    const time = timeOf(frame);
    const expected = missed === 0 ? known.expected(time) : known.expectedAfar(time);
    const placing = place(run, frame, picture, known, expected);
    const earlier = before;
    before = picture;
    if ("warp" in placing) {
      [missing, missed] = [null, 0];
      const passed = { ...placing.warp, time };
      const isStillNow = () => isStill(earlier, picture);
      for (const again of known.pass(frame, passed, expected.stepPx, isStillNow)) run.repeats.add(again);
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
    if ("why" in placing) end = misses(frame, placing, expected.stepPx);
    return end;
  }

  /** Counts a frame without it. @returns the end, once it is out of the picture or not seen for too long */
  function misses(frame: number, why: Missed, stepPx: number): FollowEnd | null {
    missing ??= { ...reasoned(why, stepPx), frame };
    missed++;
    return why.why === "left" || missed > MOST_MISSED ? missing : null;
  }

  /** Why it was not found, where the blur says more than the search. */
  function reasoned(missed: Missed, stepPx: number): Missed {
    const blurPx = exposureShare === null ? 0 : stepPx * exposureShare;
    return missed.why !== "left" && blurPx > (runs.at(-1) as Run).seed.template.radius / 2
      ? { why: "blurred", number: blurPx }
      : missed;
  }

  function place(
    run: Run,
    frame: number,
    picture: GreyImage,
    known: Course,
    expected: Expected,
  ): Placing | Missed {
    const isFirst = known.isOn(expected.last, expected) === null;
    const near = missed > 0 ? Math.min(searchPx, REACH * (1 + missed / 2)) : isFirst ? FIRST_REACH : REACH;
    const found = search(run, picture, expected.places, near, missed > 0 ? near : searchPx);
    if ("why" in found) return found;
    const { match, by } = found;
    const warp = "from" in by ? seedWarp(by, match) : match;
    const isOn = missed > 0 ? isBack(warp, found, expected) : known.isOn(warp, expected);
    if (missed > 0 && isOn === false) return { why: "unlike", number: match.likeness };
    const stepped = Math.hypot(warp.x - expected.last.x, warp.y - expected.last.y);
    if ((missed > 0 || isOn === false) && isAnother(run, found, warp, expected)) {
      return { why: "two-alike", number: stepped };
    }
    if (tellsFromTwin(stepped, twinPx)) twinPx = null;
    const placing: Placing = {
      frame,
      time: timeOf(frame),
      warp: { x: warp.x, y: warp.y, theta: warp.theta },
      covariance: covarianceOf(found),
      likeness: match.likeness,
      renewals: "from" in by ? by.from.renewals + 1 : 0,
      offCourse: isOn === false,
      twin: twinPx !== null,
      afterGap: missed > 0,
    };
    renew(run, picture, placing, found);
    return placing;
  }

  /**
   * Whether what is found after a gap is the point for sure: much like the hand mark's own picture, in its
   * light, and where it may be.
   */
  function isBack(warp: Warp, { match, by }: FoundBy, { places, stepPx }: Expected): boolean {
    const { likeness, gain } = match;
    if ("from" in by || likeness < LIKE_BEFORE || gain < GAIN_BEFORE || gain > 1 / GAIN_BEFORE) return false;
    const allowedPx = Math.min(BACK_PX + BACK_SHARE * stepPx, nearestPx / 4);
    // One that moved is not taken up where it was last: what is there now has come there.
    const may = stepPx > BACK_PX ? places.slice(0, 1) : places;
    return may.some((one) => Math.hypot(warp.x - one.x, warp.y - one.y) <= allowedPx);
  }

  /** Whether what is found stood there, or moved along there, as another thing before. */
  function isAnother(run: Run, { match, by }: FoundBy, warp: Warp, { last, places }: Expected): boolean {
    const { theta } = match;
    const own = lyingOf(by, last);
    const [likeliest] = places;
    const step = { x: likeliest.x - last.x, y: likeliest.y - last.y };
    if (stoodThere(run.seed, seedPicture, { ...warp, theta: 0 }, seedPlace(run))) return true;
    if (missed > 0) return false;
    const along = { x: match.x - step.x, y: match.y - step.y, theta };
    return stoodThere(by, before, match, own) || stoodThere(by, before, along, own);
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
  return { see, followed: (): Followed => ({ runs: runs.map(runOf), met: met(), end: end ?? missing }) };
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

function seedPlace({ seed }: Run): Warp {
  const [x, y] = seed.template.middle;
  return { x, y, theta: 0 };
}

/** Of the seed's place, with what is not known of a newer template's own. */
function covarianceOf({ match, by }: FoundBy): WarpCovariance {
  const own = placeCovariance(by.template, match);
  return "from" in by ? own.map((v, i) => v + by.from.covariance[i]) : own;
}
