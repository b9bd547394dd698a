import { open, rm } from "node:fs/promises";
import { basename, join } from "node:path";
import type { ClipFacts } from "../../shared/session/clip-facts.ts";
import type { BookedClip, DamageBook } from "./damage-book.ts";
import { complains, framesDone } from "./decode-report.ts";
import { parsePackets } from "./frame-list.ts";
import type { FrameStore } from "./frame-store.ts";
import { passthroughOptions, withList } from "./list-clip.ts";
import type { MediaOptions } from "./media.ts";
import { cancelled, framesNotExact } from "./media-faults.ts";
import { AS_IT_COMES, whatItSaid } from "./reach-frames.ts";
import type { Ffmpeg } from "./run-ffmpeg.ts";

/**
 * How each frame's grey copy of 2304 cells differs from the one before. Grey levels 0 to 255; [n], null
 * for the first and where one of the two is damaged.
 */
export interface FrameDifferences {
  readonly greatest: readonly (number | null)[];
  readonly mean: readonly (number | null)[];
}

const CELLS = 2304; // 64 x 36 of a wide picture
const FRAMES_AT_ONCE = 256; // 0.6 MB of cells in memory at a time
const GREY_FILE = "cells.grey";
const SIDES = [64, 48, 36] as const;
const DOING = "Comparing each frame with the one before";

/**
 * Cells across and down, of the shapes that make 2304 the one in which a cell is most nearly square: in a
 * flat cell of an upright picture a small thing that falls would hardly show.
 */
export function cellsOf({ width, height }: Pick<ClipFacts, "width" | "height">): readonly [number, number] {
  const off = (across: number) => Math.abs(Math.log(((across * across) / CELLS) * (height / width)));
  const across = SIDES.reduce((best: number, one) => (off(one) < off(best) ? one : best), SIDES[0]);
  return [across, CELLS / across];
}

/**
 * Decodes the clip once, from its start, to tiny area-averaged grey copies, and compares neighbours.
 * Averaging over a cell takes out the coder's noise, so that a repeated frame coded again differs by a few
 * levels, while a new one of a moving scene differs by 12 or more. The copies (2304 bytes a frame) go through
 * a folder of the store, removed in the end.
 * @param facts as inspected: the frames must decode at exactly these times
 * @throws FaultError frames-not-exact, codec-unknown, clip-missing, clip-unreadable, disk-full,
 *   cache-unwritable, cancelled, ffmpeg-*
 */
export async function frameDifferences(
  ffmpeg: Ffmpeg,
  store: FrameStore,
  damage: DamageBook,
  clip: Omit<BookedClip, "signal">,
  options?: MediaOptions,
): Promise<FrameDifferences> {
  if (options?.signal?.aborted) throw cancelled();
  const folder = await store.makeFolder();
  try {
    const places = await decodeCells(ffmpeg, store, damage, clip, folder, options);
    const differences = await compareCells(join(folder, GREY_FILE), places, options?.signal);
    options?.onProgress?.({ fraction: 1, doing: DOING });
    return differences;
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

/** @returns where each frame's copy lies among those in the file; null for a frame that cannot be trusted */
async function decodeCells(
  ffmpeg: Ffmpeg,
  store: FrameStore,
  damage: DamageBook,
  clip: Omit<BookedClip, "signal">,
  folder: string,
  options: MediaOptions | undefined,
): Promise<readonly (number | null)[]> {
  const { path, facts } = clip;
  const count = facts.pts.length;
  const [across, down] = cellsOf(facts);
  const { hasFpsMode } = await ffmpeg.version();
  let said = "";
  try {
    const { stdout, stderr } = await ffmpeg.run({
      input: path,
      inputOptions: [...AS_IT_COMES, "-stats", "-copyts"],
      // The list tells the time of every copy, so that a frame the decoder dropped or made up
      // cannot shift the rest unseen.
      output: withList("rawvideo", GREY_FILE),
      outputOptions: [
        ...["-map", "0:V:0", "-vf", `scale=${across}:${down}:flags=area,format=gray`],
        ...passthroughOptions(hasFpsMode),
        ...["-enc_time_base", facts.timeBase.join("/")],
        ...["-c:v", "rawvideo", "-f", "tee"],
      ],
      cwd: folder,
      onLine: (line) => {
        const done = framesDone(line);
        if (done !== null) options?.onProgress?.({ fraction: Math.min(1, done / count), doing: DOING });
      },
      ...(options?.signal === undefined ? {} : { signal: options.signal }),
    });
    said = stderr;
    const listed = parsePackets(stdout);
    const placeAt = new Map(listed.map(({ pts, bytes }, i) => [bytes === CELLS ? pts : Number.NaN, i]));
    const places = facts.pts.map((ticks) => placeAt.get(ticks) ?? null);
    const known = damage.of(clip.key);
    const trusted = () => places.map((place, frame) => (known.has(frame) ? null : place));
    if (listed.length === count && places.every((place) => place !== null) && !complains(stderr))
      return trusted();
    const signal = options?.signal ?? new AbortController().signal;
    const damaged = await damage.examine({ ...clip, signal }, { from: 0, to: count - 1 });
    const lost = places.findIndex((place, frame) => place === null && !damaged.has(frame));
    if (lost >= 0) throw framesNotExact(basename(path), lost, said);
    return trusted();
  } catch (error) {
    said = await whatItSaid(error, path, facts, store);
  }
  throw framesNotExact(basename(path), 0, said);
}

async function compareCells(
  file: string,
  places: readonly (number | null)[],
  signal?: AbortSignal,
): Promise<FrameDifferences> {
  const greatest: (number | null)[] = [];
  const mean: (number | null)[] = [];
  let before: Uint8Array | null = null;
  const handle = await open(file, "r");
  try {
    const last = places.reduce((most: number, place) => Math.max(most, place ?? -1), -1);
    let block = { from: 0, cells: new Uint8Array() };
    for (const place of places) {
      let now: Uint8Array | null = null;
      if (place !== null) {
        const inBlock = (place - block.from) * CELLS;
        if (inBlock < 0 || inBlock >= block.cells.length) {
          if (signal?.aborted) throw cancelled();
          const cells = new Uint8Array(Math.min(FRAMES_AT_ONCE, last + 1 - place) * CELLS);
          await handle.read(cells, 0, cells.length, place * CELLS);
          block = { from: place, cells };
        }
        now = block.cells.subarray((place - block.from) * CELLS, (place - block.from + 1) * CELLS);
      }
      const step = before === null || now === null ? null : difference(before, now);
      greatest.push(step?.max ?? null);
      mean.push(step === null ? null : step.sum / CELLS);
      before = now;
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
