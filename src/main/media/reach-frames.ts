import { basename } from "node:path";
import type { ClipFacts } from "../../shared/session/clip-facts.ts";
import type { FrameStore } from "./frame-store.ts";
import { cacheFull, clipState, unknownCodec } from "./media-faults.ts";
import { type Ffmpeg, FfmpegFailure } from "./run-ffmpeg.ts";
import { type SeekSource, seekableCopy } from "./seekable-copy.ts";

/** How a run of frames is reached, from the cheapest on. */
export type Way = "seek" | "seek-in-copy" | "decode-from-start";

/** A clip to reach frames of. */
export interface ReachedClip {
  readonly key: string;
  readonly path: string;
  readonly facts: ClipFacts;
  readonly signal: AbortSignal;
}

/** Containers whose index leads ffmpeg to any frame exactly. */
const SEEKS_EXACTLY = /^(mov,mp4|matroska|avi)/;
/** Containers in which a seek lands on some later key frame: not worth trying. */
const SEEKS_ASTRAY = /^(mpegts|mpeg)$/;

/**
 * Input options of a run in which nothing may be wrong: the decoder gives up at an error instead of filling
 * in, and what is said has its level.
 */
export const STRICTLY = ["-loglevel", "repeat+level+info", "-err_detect:v", "explode"] as const;
/**
 * Input options of a run that takes what can be had: whatever share of the packets
 * fails, what decodes is given.
 */
export const AS_IT_COMES = ["-loglevel", "repeat+level+info", "-max_error_rate", "1"] as const;

/**
 * A filter for such a run: after damage a decoder may give a picture late, and no encoder takes one
 * that is older than the last.
 */
export const ONLY_FORWARD = ["select='isnan(prev_selected_pts)+gt(pts,prev_selected_pts)'"] as const;

/** The ways worth trying for a container, in order. */
export function waysFor(container: string): readonly Way[] {
  if (SEEKS_EXACTLY.test(container)) return ["seek", "decode-from-start"];
  if (SEEKS_ASTRAY.test(container)) return ["seek-in-copy", "decode-from-start"];
  return ["seek", "seek-in-copy", "decode-from-start"];
}

/** The file to read for a way; null when the way is closed. */
export async function sourceFor(
  ffmpeg: Ffmpeg,
  store: FrameStore,
  way: Way,
  { path, facts, key, signal }: ReachedClip,
): Promise<SeekSource | null> {
  if (way === "seek-in-copy") return seekableCopy(ffmpeg, store, key, path, facts, signal);
  return { path, timeBase: facts.timeBase, pts: facts.pts, startS: facts.startS };
}

/**
 * Input options that lead to a frame. ffmpeg adds the file's start to the time it is given, so the frame's
 * own time less the start lands on it: checked frame by frame with B-frames, variable rates, edit lists, open
 * groups and late starts. Frame 0 needs no seek.
 */
export function seekTo(way: Way, source: SeekSource, from: number): readonly string[] {
  if (way === "decode-from-start") return [];
  const [num, den] = source.timeBase;
  const seconds = ((source.pts[from] ?? 0) * num) / den - source.startS;
  return from === 0 || seconds <= 0 ? [] : ["-ss", seconds.toFixed(6)];
}

/** The filter that lets only the run through, where the way begins at the clip's start. */
export function selectRun(way: Way, source: SeekSource, from: number, count: number): readonly string[] {
  if (way !== "decode-from-start") return [];
  return [`select='between(pts,${source.pts[from]},${source.pts[from + count - 1]})'`];
}

/**
 * What ffmpeg said when it did not give the frames, for another way of reaching them to be tried.
 * @throws FaultError where no other way will do: the cache's disk is full, the codec is unknown, the clip is
 *   gone; anything else as it came
 */
export async function whatItSaid(
  error: unknown,
  path: string,
  facts: ClipFacts,
  store: FrameStore,
): Promise<string> {
  if (!(error instanceof FfmpegFailure)) throw error;
  if (/No space left|Disk quota exceeded/i.test(error.stderr)) throw cacheFull(store.cacheDir);
  if (/Decoder .* not found|no decoder found/i.test(error.stderr)) {
    throw unknownCodec(basename(path), facts.codec);
  }
  await clipState(path); // A card that was pulled out is a different fault from frames that do not decode.
  return error.stderr;
}
