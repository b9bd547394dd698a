import type { Measured } from "../quantity/measured.ts";
import type { FramesInTime } from "./frames-in-time.ts";

/** Two clips in time from the same instant of their launches. */
export type ClipPair = readonly [FramesInTime, FramesInTime];

/** The frames of two clips that lie nearest to one time. */
export interface FramePair {
  readonly frames: readonly [number, number];
  /** s from the instant, each frame's own */
  readonly times: readonly [Measured, Measured];
  /** s, the second frame's time less the first's */
  readonly apart: Measured;
}

/** The frames one steps through: those of the clip that has more of them a second. */
export interface PairSteps {
  /** which clip they are of */
  readonly lead: 0 | 1;
  /** frame indices, one or more; each shows a later time than the one before */
  readonly frames: readonly number[];
}

/** The frame whose time lies nearest; of two that are as near, and of repeated ones, the first. */
export function nearestFrame(clip: FramesInTime, atS: number): number {
  const after = firstFrom(clip, atS);
  if (after === 0) return 0;
  // A repeated frame shows the one before it, and a run of them may be as long as the clip.
  const before = firstFrom(clip, clip.timeOf(after - 1));
  return Math.abs(clip.timeOf(before) - atS) <= Math.abs(clip.timeOf(after) - atS) ? before : after;
}

/** The first frame at or after a time, by bisection; the last frame where there is none. */
function firstFrom(clip: FramesInTime, atS: number): number {
  let [low, high] = [0, clip.count - 1];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (clip.timeOf(middle) < atS) low = middle + 1;
    else high = middle;
  }
  return low;
}

/**
 * The nearest frames of both clips at a time, with how far they are apart: up to half a frame of the slower
 * clip where both have frames there. The u of their distance is taken as if the two launches' instants and
 * clocks were independent; a shot beside itself shows the same frame, with no error between the two.
 */
export function pairAt(pair: ClipPair, atS: number): FramePair {
  const [a, b] = pair;
  const frames = [nearestFrame(a, atS), nearestFrame(b, atS)] as const;
  const times = [timeOf(a, frames[0]), timeOf(b, frames[1])] as const;
  const u = a === b ? 0 : Math.hypot(times[0].u, times[1].u);
  return { frames, times, apart: { value: times[1].value - times[0].value, u } };
}

function timeOf(clip: FramesInTime, frame: number): Measured {
  return { value: clip.timeOf(frame), u: clip.uOf(frame) };
}

/**
 * What is stepped through: the frames of the faster clip at times that both clips have frames of, repeated
 * ones left out. Where the clips do not overlap, its frame nearest to the instant alone.
 */
export function stepsOf(pair: ClipPair): PairSteps {
  const [a, b] = pair;
  const lead = intervalS(b) < intervalS(a) ? 1 : 0;
  const clip = pair[lead];
  const from = Math.max(a.timeOf(0), b.timeOf(0));
  const to = Math.min(a.timeOf(a.count - 1), b.timeOf(b.count - 1));
  const frames: number[] = [];
  let last = Number.NEGATIVE_INFINITY;
  for (let frame = 0; frame < clip.count; frame++) {
    const time = clip.timeOf(frame);
    if (time < from || time > to || time <= last) continue;
    frames.push(frame);
    last = time;
  }
  return { lead, frames: frames.length > 0 ? frames : [nearestFrame(clip, 0)] };
}

const AROUND = 8; // frames to each side of the instant: padding and rounded stamps even out over them

/** s from frame to frame about the instant; infinite where there is only one frame. */
function intervalS(clip: FramesInTime): number {
  const middle = nearestFrame(clip, 0);
  const [from, to] = [Math.max(0, middle - AROUND), Math.min(clip.count - 1, middle + AROUND)];
  return to > from ? (clip.timeOf(to) - clip.timeOf(from)) / (to - from) : Number.POSITIVE_INFINITY;
}

/** The place in the steps that lies nearest to a time. */
export function stepAt(pair: ClipPair, { lead, frames }: PairSteps, atS: number): number {
  const clip = pair[lead];
  let best = 0;
  let least = Number.POSITIVE_INFINITY;
  frames.forEach((frame, i) => {
    const apart = Math.abs(clip.timeOf(frame) - atS);
    if (apart < least) [best, least] = [i, apart];
  });
  return best;
}
