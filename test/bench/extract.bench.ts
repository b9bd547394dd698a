import { readdir, readFile } from "node:fs/promises";
import { join } from "node:path";
import { createMedia } from "../../src/main/media/create-media.ts";
import { checkFfmpegVersion } from "../../src/main/media/ffmpeg-version.ts";
import { PACK_FILE } from "../../src/main/media/frame-store.ts";
import { passthroughOptions } from "../../src/main/media/list-clip.ts";
import type { BenchField } from "./field.ts";
import { inNewFolder } from "./field.ts";
import { type BenchPart, median, ms, ratio, spread } from "./figures.ts";
import { runProgram } from "./run-program.ts";
import { type Taken, timed } from "./stopwatch.ts";

const FROM = 120; // half a second in: neither the key frame at the start nor the next one
const COUNT = 300;
const MOST = 1.15;

/**
 * Extracts 300 full-size frames into an empty cache, and has the bare ffmpeg command write
 * the same bytes, by turns.
 * @throws Error when the two do not write the same bytes: the figures would compare different work
 */
export async function benchExtract(field: BenchField): Promise<BenchPart> {
  const { hasFpsMode } = await checkFfmpegVersion(field.ffmpegPath);
  const pairs: { readonly ours: Taken; readonly bare: Taken }[] = [];
  let frameBytes = 0;
  for (let round = 0; round <= field.rounds; round++) {
    const pair = await inNewFolder(async (folder) => {
      const [cacheDir, file] = [join(folder, "cache"), join(folder, "bare.mjpeg")];
      // Asked before the clock starts: in the window the program has been looked at when the clip was opened.
      const media = createMedia({ ffmpegPath: field.ffmpegPath, cacheDir });
      await media.inspect(field.clip);
      const extract = () => media.extract(field.clip, field.facts, FROM, FROM + COUNT - 1, "full");
      const command = bareCommand(field, file, hasFpsMode);
      // The order alternates, so that neither side always finds what the other has warmed.
      const first = round % 2 === 0;
      const early = first ? await timed(extract) : null;
      const bare = await timed(() => runProgram(field.ffmpegPath, command));
      const ours = early ?? (await timed(extract));
      const [mine, theirs] = [await packIn(cacheDir), await readFile(file)];
      if (!mine.equals(theirs)) throw new Error("The bare command did not write the bytes of the pack.");
      frameBytes = mine.length / COUNT;
      return { ours, bare };
    });
    if (round > 0) pairs.push(pair); // round 0 warms the file cache
  }
  const wall = pairs.map(({ ours, bare }) => ours.wallMs / bare.wallMs);
  const cpu = pairs.flatMap(({ ours, bare }) =>
    ours.cpuMs === null || bare.cpuMs === null ? [] : [ours.cpuMs / bare.cpuMs],
  );
  const fastest = (of: (pair: (typeof pairs)[number]) => Taken) =>
    Math.min(...pairs.map((pair) => of(pair).wallMs));
  const fps = (takens: readonly Taken[]) => (COUNT / median(takens.map((taken) => taken.wallMs))) * 1000;
  return {
    title: `Extracting ${COUNT} frames, 1080p H.264 to JPEG, against the bare ffmpeg command`,
    figures: [
      {
        what: "wall time, ratio",
        value: spread(wall, ratio),
        target: { text: `<= ${MOST}`, met: median(wall) <= MOST },
      },
      {
        what: "  of the fastest round of each",
        value: ratio(fastest(({ ours }) => ours) / fastest(({ bare }) => bare)),
        target: null,
      },
      ...(cpu.length === 0
        ? []
        : [{ what: "processor time, ratio", value: spread(cpu, ratio), target: null }]),
      {
        what: "Loftmark / bare, this machine now",
        value: `${fps(pairs.map((pair) => pair.ours)).toFixed(0)} / ${fps(pairs.map((pair) => pair.bare)).toFixed(0)} frames/s`,
        target: null,
      },
    ],
    notes: [
      `${pairs.length} rounds by turns; both wrote the same bytes in every one, ${(frameBytes / 1e3).toFixed(0)} kB a frame`,
      `a round of Loftmark took ${spread(
        pairs.map(({ ours }) => ours.wallMs),
        ms,
      )}`,
    ],
  };
}

/** What a person would type to get these JPEGs in one file: no list of times, no checks, no index. */
function bareCommand({ clip, facts }: BenchField, file: string, hasFpsMode: boolean): readonly string[] {
  const [num, den] = facts.timeBase;
  const seconds = ((facts.pts[FROM] ?? 0) * num) / den - facts.startS;
  return [
    ...["-hide_banner", "-loglevel", "error", "-nostdin", "-ss", seconds.toFixed(6), "-i", clip],
    ...["-map", "0:V:0", "-frames:v", String(COUNT), ...passthroughOptions(hasFpsMode)],
    ...["-c:v", "mjpeg", "-q:v", "2", "-pix_fmt", "yuvj420p", "-f", "image2pipe", file],
  ];
}

/** The bytes of the one pack in a cache. */
async function packIn(cacheDir: string): Promise<Buffer> {
  const packs = (await readdir(cacheDir, { recursive: true })).filter((path) => path.endsWith(PACK_FILE));
  if (packs.length !== 1) throw new Error(`One pack was expected in the cache; there are ${packs.length}.`);
  return readFile(join(cacheDir, packs[0]!));
}
