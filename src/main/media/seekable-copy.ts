import { mkdir, rename, rm, stat } from "node:fs/promises";
import { join } from "node:path";
import type { ClipFacts } from "../../shared/session/clip-facts.ts";
import type { FrameStore } from "./frame-store.ts";
import { listClip } from "./list-clip.ts";
import { type Ffmpeg, FfmpegFailure } from "./run-ffmpeg.ts";

/**
 * A file in which every frame of a clip can be found by seeking: the clip itself or a copy of its packets.
 */
export interface SeekSource {
  readonly path: string;
  readonly timeBase: readonly [number, number];
  /** Ticks of each frame of the clip in this file. */
  readonly pts: readonly number[];
  readonly startS: number;
}

const COPY_FILE = "seekable.mp4";

/**
 * A copy of a clip's video packets in an MP4 file, for containers whose own seeking lands on the wrong frame
 * (transport and program streams). Nothing is re-encoded; the copy lies in the cache and is used only when
 * its list of frames is the clip's own, tick for tick apart from a common shift.
 * @returns null when the packets cannot be kept that way
 */
export async function seekableCopy(
  ffmpeg: Ffmpeg,
  store: FrameStore,
  key: string,
  path: string,
  facts: ClipFacts,
  signal: AbortSignal,
): Promise<SeekSource | null> {
  const copy = join(store.folderOf(key), COPY_FILE);
  const before = await sourceIfSame(ffmpeg, copy, facts, signal);
  if (before !== null) return before;
  const folder = await store.makeFolder();
  try {
    await ffmpeg.run({
      input: path,
      inputOptions: ["-loglevel", "error", "-copyts"],
      output: COPY_FILE,
      outputOptions: ["-map", "0:V:0", "-c", "copy", "-video_track_timescale", String(facts.timeBase[1])],
      cwd: folder,
      urgent: true,
      signal,
    });
    const made = await sourceIfSame(ffmpeg, join(folder, COPY_FILE), facts, signal);
    if (made === null) return null;
    await mkdir(store.folderOf(key), { recursive: true });
    await rename(join(folder, COPY_FILE), copy);
    await store.counted(copy, (await stat(copy)).size);
    return { ...made, path: copy };
  } catch (error) {
    if (error instanceof FfmpegFailure) return null;
    throw error;
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

async function sourceIfSame(
  ffmpeg: Ffmpeg,
  copy: string,
  facts: ClipFacts,
  signal: AbortSignal,
): Promise<SeekSource | null> {
  try {
    const { banner, frames } = await listClip(ffmpeg, copy, { signal });
    const [num, den] = facts.timeBase;
    const sameBase = frames.timeBase[0] * den === frames.timeBase[1] * num;
    const shift = (frames.pts[0] ?? 0) - (facts.pts[0] ?? 0);
    const same =
      frames.pts.length === facts.pts.length &&
      facts.pts.every((ticks, i) => frames.pts[i] === ticks + shift);
    return sameBase && same
      ? { path: copy, timeBase: frames.timeBase, pts: frames.pts, startS: banner.startS }
      : null;
  } catch (error) {
    if (signal.aborted) throw error;
    return null; // Not there, or not whole: either way it is made again.
  }
}
