/** A run of frames, both ends inclusive. */
export interface FrameRun {
  readonly from: number;
  readonly to: number;
}

/**
 * Frames made at once when a single frame is asked for out of nowhere: starting ffmpeg costs as much as
 * encoding some ten pictures, so a few neighbours come nearly free, and many would keep a person waiting.
 */
const AFTER_A_JUMP = { before: 1, after: 4 } as const;
/** Frames made at once when a person steps or plays on from frames that are there. */
const ON_THE_WAY = 48;
/**
 * Frames of one ffmpeg process in a long extraction: long enough to hide its start, short
 * enough to cancel cheaply.
 */
export const LONGEST_PACK = 480;

/**
 * The frames to make when `frame` is missing: a few around it after a jump, a longer run in the direction of
 * travel when its neighbour is `near` (in the cache or being made). Frames that are near already end the run.
 */
export function runAround(frame: number, count: number, near: (frame: number) => boolean): FrameRun {
  const goingOn = frame > 0 && near(frame - 1);
  const goingBack = frame < count - 1 && near(frame + 1);
  const before = goingBack && !goingOn ? ON_THE_WAY - 1 : goingOn ? 0 : AFTER_A_JUMP.before;
  const after = goingOn ? ON_THE_WAY - 1 : goingBack ? 0 : AFTER_A_JUMP.after;
  let from = frame;
  while (from > 0 && from > frame - before && !near(from - 1)) from--;
  let to = frame;
  while (to < count - 1 && to < frame + after && !near(to + 1)) to++;
  return { from, to };
}

/** The first run of from..to that is not `near`, at most LONGEST_PACK long; null when all of it is. */
export function nextMissing(wanted: FrameRun, near: (frame: number) => boolean): FrameRun | null {
  let from = wanted.from;
  while (from <= wanted.to && near(from)) from++;
  if (from > wanted.to) return null;
  let to = from;
  while (to < wanted.to && to - from + 1 < LONGEST_PACK && !near(to + 1)) to++;
  return { from, to };
}
