import { marksOf } from "../follow/follow-words.ts";
import type { Followed, HandMark } from "../follow/followed.ts";
import type { Measured } from "../quantity/measured.ts";
import type { FilmedShot } from "../session/filmed-shot.ts";
import type { Camera, Mark, Shot } from "../session/schema.ts";
import { statedRateAt } from "./assumed.ts";

/** Everything a follower needs to know of a shot. */
export interface FollowOrder {
  readonly clip: string;
  /** What the person calls the point. */
  readonly point: string;
  readonly seed: HandMark;
  readonly hands: readonly HandMark[];
  /** The last frame to follow to; before the seed's, backwards. */
  readonly to: number;
  /** Exposure over the time from frame to frame; null when not known. */
  readonly exposureShare: number | null;
}

/**
 * What to follow for a point of a shot, from the hand mark in a frame.
 * @returns null when the shot has no clip or there is no hand mark of the point in that frame
 * @throws RangeError when the session has no such point
 */
export function followOrder(
  { shot, camera, points }: Pick<FilmedShot, "shot" | "camera" | "points">,
  pointId: string,
  from: number,
  to: number,
): FollowOrder | null {
  const point = points.find((one) => one.id === pointId);
  if (point === undefined) throw new RangeError(`followOrder: no point "${pointId}"`);
  const hands = handMarksOf(shot, pointId);
  const seed = hands.find(({ frame }) => frame === from);
  if (seed === undefined || shot.clip === null) return null;
  const share = exposureShare(camera, statedRateAt(shot.clock, from));
  return { clip: shot.clip, point: point.name, seed, hands, to, exposureShare: share };
}

/** The hand marks of a point, by frame. */
export function handMarksOf(shot: Shot, pointId: string): readonly HandMark[] {
  return shot.marks
    .filter((mark) => mark.pointId === pointId && mark.by === "hand")
    .map(({ frame, x, y, u }) => ({ frame, at: [x, y], u }));
}

function exposureShare(camera: Camera | null, stated: Measured | null): number | null {
  if (camera === null || camera.exposureS === null) return null;
  return camera.exposureS * (stated ?? camera.captureRateHz).value;
}

/**
 * What was followed as marks of a shot. A frame in which the point has a hand mark keeps that; places are
 * written to a thousandth of a pixel, a thirtieth of the least u.
 */
export function followerMarks(shot: Shot, pointId: string, followed: Followed): readonly Mark[] {
  const byHand = new Set(handMarksOf(shot, pointId).map(({ frame }) => frame));
  return marksOf(followed)
    .filter(({ frame }) => !byHand.has(frame))
    .map(({ frame, at: [x, y], u }) => ({
      pointId,
      frame,
      x: thousandth(x),
      y: thousandth(y),
      u: thousandth(u),
      by: "follower",
    }));
}

function thousandth(x: number): number {
  return Math.round(x * 1000) / 1000;
}
