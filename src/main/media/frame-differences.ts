import { mkdtemp, open, readFile, rm } from "node:fs/promises";
import { basename, join } from "node:path";
import type { ClipFacts } from "../../shared/session/clip-facts.ts";
import { parsePackets } from "./frame-list.ts";
import { passthroughOptions } from "./list-clip.ts";
import type { MediaOptions } from "./media.ts";
import { cacheFault, cacheFull, cancelled, clipState, framesNotExact, unknownCodec } from "./media-faults.ts";
import { type Ffmpeg, FfmpegFailure } from "./run-ffmpeg.ts";

/** How each frame's grey copy of 64 x 36 cells differs from the one before. Grey levels 0 to 255; [n], the first null. */
export interface FrameDifferences {
  readonly greatest: readonly (number | null)[];
  readonly mean: readonly (number | null)[];
}

const WIDTH = 64;
const HEIGHT = 36;
const CELLS = WIDTH * HEIGHT;
const FRAMES_AT_ONCE = 256; // 0.6 MB of cells in memory at a time
const GREY_FILE = "cells.grey";
const LIST_FILE = "cells.list";
const DOING = "Comparing each frame with the one before";

/**
 * Decodes the clip once, from its start, to tiny area-averaged grey copies, and compares neighbours. Averaging over a cell takes
 * out the coder's noise, so that a repeated frame coded anew differs by a few levels, while a new one of a moving scene differs by 12 or more.
 * The copies (2304 bytes a frame) go through a folder made and removed inside `scratchDir`.
 * @param facts as inspected: the frames must decode at exactly these times
 * @param scratchDir an existing folder that may be written
 * @throws FaultError frames-not-exact, codec-unknown, clip-missing, clip-unreadable, disk-full, cache-unwritable, cancelled, ffmpeg-*
 */
export async function frameDifferences(
  ffmpeg: Ffmpeg,
  path: string,
  facts: ClipFacts,
  scratchDir: string,
  options?: MediaOptions,
): Promise<FrameDifferences> {
  if (options?.signal?.aborted) throw cancelled();
  const folder = await mkdtemp(join(scratchDir, "cells-")).catch((error: unknown) => {
    throw cacheFault(error, scratchDir);
  });
  try {
    await decodeCells(ffmpeg, path, facts, folder, options);
    const differences = await compareCells(join(folder, GREY_FILE), facts.pts.length, options?.signal);
    options?.onProgress?.({ fraction: 1, doing: DOING });
    return differences;
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

async function decodeCells(
  ffmpeg: Ffmpeg,
  path: string,
  facts: ClipFacts,
  folder: string,
  options: MediaOptions | undefined,
): Promise<void> {
  const count = facts.pts.length;
  const { hasFpsMode } = await ffmpeg.version();
  try {
    const { stderr } = await ffmpeg.run({
      input: path,
      inputOptions: ["-loglevel", "error", "-stats", "-copyts"],
      // The list tells the time of every copy, so that a frame the decoder dropped or made up cannot shift the rest unseen.
      output: `[f=rawvideo]${GREY_FILE}|[f=framecrc]${LIST_FILE}`,
      outputOptions: [
        ...["-map", "0:V:0", "-vf", `scale=${WIDTH}:${HEIGHT}:flags=area,format=gray`],
        ...passthroughOptions(hasFpsMode),
        ...["-enc_time_base", facts.timeBase.join("/")],
        ...["-c:v", "rawvideo", "-f", "tee"],
      ],
      cwd: folder,
      onLine: (line) => {
        const done = Number(/^frame=\s*(\d+)/.exec(line)?.[1] ?? Number.NaN);
        if (done >= 0) options?.onProgress?.({ fraction: Math.min(1, done / count), doing: DOING });
      },
      ...(options?.signal === undefined ? {} : { signal: options.signal }),
    });
    const packets = parsePackets(await readFile(join(folder, LIST_FILE), "utf8"));
    const wrong = facts.pts.findIndex((ticks, i) => packets[i]?.pts !== ticks || packets[i]?.bytes !== CELLS);
    if (wrong >= 0 || packets.length !== count)
      throw framesNotExact(basename(path), Math.max(0, wrong), stderr);
  } catch (error) {
    if (!(error instanceof FfmpegFailure)) throw error;
    if (/No space left|Disk quota exceeded/i.test(error.stderr)) throw cacheFull(folder);
    if (/Decoder .* not found|no decoder found/i.test(error.stderr)) {
      throw unknownCodec(basename(path), facts.codec);
    }
    await clipState(path); // A card that was pulled out is a different fault from frames that do not decode.
    throw framesNotExact(basename(path), 0, error.stderr);
  }
}

async function compareCells(file: string, count: number, signal?: AbortSignal): Promise<FrameDifferences> {
  const greatest: (number | null)[] = [];
  const mean: (number | null)[] = [];
  let before: Uint8Array | null = null;
  const handle = await open(file, "r");
  try {
    for (let from = 0; from < count; from += FRAMES_AT_ONCE) {
      if (signal?.aborted) throw cancelled();
      const frames = Math.min(FRAMES_AT_ONCE, count - from);
      const cells = new Uint8Array(frames * CELLS);
      await handle.read(cells, 0, cells.length, from * CELLS);
      for (let i = 0; i < frames; i++) {
        const now = cells.subarray(i * CELLS, (i + 1) * CELLS);
        const step: { max: number; sum: number } | null = before === null ? null : difference(before, now);
        greatest.push(step?.max ?? null);
        mean.push(step === null ? null : step.sum / CELLS);
        before = now;
      }
    }
  } finally {
    await handle.close();
  }
  return { greatest, mean };
}

function difference(a: Uint8Array, b: Uint8Array): { max: number; sum: number } {
  let [max, sum] = [0, 0];
  for (let i = 0; i < CELLS; i++) {
    const d = Math.abs((a[i] as number) - (b[i] as number));
    if (d > max) max = d;
    sum += d;
  }
  return { max, sum };
}
