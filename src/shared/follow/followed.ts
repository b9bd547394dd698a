import type { PxPoint } from "../quantity/point.ts";

/** A mark a person placed on the point: where a follower begins, or what it meets on its way. */
export interface HandMark {
  readonly frame: number;
  /** px, as in the session. */
  readonly at: PxPoint;
  /** px, of each coordinate. */
  readonly u: number;
}

/** Why a mark of the follower should be looked at. */
export const FOLLOW_DOUBTS = ["unlike", "loose", "off-course", "twin", "after-gap"] as const;
export type FollowDoubt = (typeof FOLLOW_DOUBTS)[number];

export interface FollowedMark {
  readonly frame: number;
  /** px, as in the session. */
  readonly at: PxPoint;
  /** px, of each coordinate, of this mark's own error; what all marks of a run share is not in it. */
  readonly u: number;
  /** Correlation with the template it was matched to, 1 for the same but for the light. */
  readonly likeness: number;
  /** The frame shows the picture before it again, sample for sample: the point keeps its place. */
  readonly repeat: boolean;
  /**
   * How many times the template had been replaced from a followed frame since the hand mark: 0
   * for the hand mark's own.
   */
  readonly renewals: number;
  readonly doubts: readonly FollowDoubt[];
}

/**
 * Why following ended before the last frame that was asked for. no-detail: the picture at the hand mark
 * does not fix a place. edge: it is too near the picture's edge. left: it goes out of the picture. unlike:
 * what is found looks too little like the template. unsettled: it is like it, but the match comes to no
 * rest there. beyond: nothing like it within the search. two-alike: another place is as much like it.
 * blurred: it moves too far during an exposure. faded: too little is left of its contrast. stopped: the
 * person who asked for it stopped it.
 */
export const FOLLOW_STOPS = [
  "no-detail",
  "shaded",
  "edge",
  "left",
  "unlike",
  "unsettled",
  "beyond",
  "two-alike",
  "blurred",
  "faded",
  "stopped",
] as const;
export type FollowStop = (typeof FOLLOW_STOPS)[number];

export interface FollowEnd {
  readonly why: FollowStop;
  /** The frame in which it could not be placed. */
  readonly frame: number;
  /**
   * What was found there: unlike and unsettled, the correlation; beyond, px of the search; two-alike, px
   * between the two; blurred, px of motion in an exposure; faded, share of the contrast left; else 0.
   */
  readonly number: number;
}

/** A hand mark that was met, and how far it is from where the run's other hand marks put the point. */
export interface HandMet {
  readonly frame: number;
  readonly distancePx: number;
  /** The distance in standard uncertainties of the difference, in the plane. */
  readonly distanceU: number;
  /** Within 4 of them: the run is anchored to this mark too. */
  readonly agrees: boolean;
  /** It disagreed where the follower was not sure of itself: a new run begins at it. */
  readonly begins: boolean;
}

/** Marks that depend on the same hand marks, and so share the error of their mean. */
export interface FollowRun {
  readonly marks: readonly FollowedMark[];
  /** px, of the disc that was looked for. */
  readonly radiusPx: number;
  /** Frames of the hand marks it depends on. */
  readonly handFrames: readonly number[];
  /** px, of each coordinate: what all marks of the run are off together, as far as the hand marks tell. */
  readonly commonU: number;
}

export interface Followed {
  readonly runs: readonly FollowRun[];
  readonly met: readonly HandMet[];
  /** Null when it came to the last frame that was asked for. */
  readonly end: FollowEnd | null;
}

export interface FollowOptions {
  /**
   * px, of the disc about the point that is looked for; null to choose it by what the picture shows there.
   */
  readonly radiusPx?: number | null;
  /** px, how far from the expected place it is looked for at most. */
  readonly searchPx?: number;
  /** Exposure of a frame over the time from frame to frame; null when not known. */
  readonly exposureShare?: number | null;
  /** Time of a frame in any unit, to expect the next place by; by default its number. */
  readonly timeOf?: (frame: number) => number;
}
