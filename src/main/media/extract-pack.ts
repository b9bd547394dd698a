import { readFile, rm, stat } from "node:fs/promises";
import { basename, join } from "node:path";
import type { ClipFacts } from "../../shared/session/clip-facts.ts";
import { parsePackets } from "./frame-list.ts";
import { type FrameStore, PACK_FILE, type PackIndex } from "./frame-store.ts";
import { passthroughOptions } from "./list-clip.ts";
import type { FrameSize } from "./media.ts";
import { framesNotExact } from "./media-faults.ts";
import { isMadeUp, seekTo, selectRun, sourceFor, type Way, waysFor, whatItSaid } from "./reach-frames.ts";
import type { Ffmpeg } from "./run-ffmpeg.ts";
import type { SeekSource } from "./seekable-copy.ts";

export interface PackOrder {
  readonly key: string;
  readonly path: string;
  readonly facts: ClipFacts;
  readonly size: FrameSize;
  readonly from: number;
  readonly count: number;
  readonly urgent: boolean;
  readonly signal: AbortSignal;
  /** Frames done so far. */
  readonly onFrames: (done: number) => void;
}

const LIST_FILE = "frames.list";

/**
 * Makes packs of exact frames: one ffmpeg process writes the JPEGs and, beside them, the time, size and checksum of
 * every picture it wrote. Only when those times are the clip's own for every frame asked for does the pack enter the
 * cache; else the next way of reaching the frames is tried.
 */
export function createPackMaker(ffmpeg: Ffmpeg, store: FrameStore) {
  const wayThatWorked = new Map<string, Way>();

  /** @throws FaultError frames-not-exact, codec-unknown, clip-missing, disk-full, cache-unwritable, cancelled, ffmpeg-* */
  return async function makePack(order: PackOrder): Promise<void> {
    const all = waysFor(order.facts.container);
    const known = wayThatWorked.get(order.key);
    let said = "";
    for (const way of known === undefined ? all : all.slice(all.indexOf(known))) {
      const source = await sourceFor(ffmpeg, store, way, order);
      if (source === null) continue;
      const result = await attempt(way, source, order);
      if (result.exact) {
        wayThatWorked.set(order.key, way);
        return;
      }
      said = result.stderr;
    }
    throw framesNotExact(basename(order.path), order.from, said);
  };

  async function attempt(way: Way, source: SeekSource, order: PackOrder) {
    const { key, path, facts, size, from, count, signal } = order;
    const { hasFpsMode } = await ffmpeg.version();
    const folder = await store.makeFolder();
    try {
      const { stderr } = await ffmpeg.run({
        input: source.path,
        inputOptions: ["-loglevel", "error", "-stats", "-copyts", ...seekTo(way, source, from)],
        // Both outputs get the very same encoded packets, so the list tells where each picture lies in the pack.
        output: `[f=image2pipe]${PACK_FILE}|[f=framecrc]${LIST_FILE}`,
        outputOptions: [
          ...["-map", "0:V:0", "-frames:v", String(count)],
          ...filterOptions(way, source, order),
          ...passthroughOptions(hasFpsMode),
          ...["-enc_time_base", source.timeBase.join("/")],
          ...["-c:v", "mjpeg", "-q:v", "2", "-pix_fmt", "yuvj420p", "-f", "tee"],
        ],
        cwd: folder,
        urgent: order.urgent,
        signal,
        onLine: (line) => {
          const done = /^frame=\s*(\d+)/.exec(line)?.[1];
          if (done !== undefined) order.onFrames(Math.min(count, Number(done)));
        },
      });
      const index = await indexIfExact(folder, source.pts.slice(from, from + count));
      if (index === null || isMadeUp(stderr)) return { exact: false, stderr };
      await store.publish(folder, key, size, from, index);
      return { exact: true, stderr };
    } catch (error) {
      return { exact: false, stderr: await whatItSaid(error, path, facts, store) };
    } finally {
      await rm(folder, { recursive: true, force: true });
    }
  }
}

/** ffmpeg turns the picture upright by itself, before these filters, so that sizes here are those of the upright one. */
function filterOptions(way: Way, source: SeekSource, order: PackOrder): readonly string[] {
  const { facts, size, from, count } = order;
  const filters: string[] = [];
  filters.push(...selectRun(way, source, from, count));
  if (size === "half") {
    const [width, height] = halfSize(facts);
    filters.push(`scale=${width}:${height}:flags=area`, "setsar=1");
  } else if (facts.pixelAspect[0] !== facts.pixelAspect[1]) {
    filters.push(`scale=${facts.width}:${facts.height}:flags=bicubic`, "setsar=1");
  }
  return filters.length === 0 ? [] : ["-vf", filters.join(",")];
}

/** px, [width, height] of the pictures for scrubbing: half the upright picture, rounded to whole pixels. */
export function halfSize(facts: Pick<ClipFacts, "width" | "height">): readonly [number, number] {
  return [Math.max(1, Math.round(facts.width / 2)), Math.max(1, Math.round(facts.height / 2))];
}

/** The index of a finished pack, or null when its pictures are not exactly the frames of these times, all of them. */
async function indexIfExact(folder: string, pts: readonly number[]): Promise<PackIndex | null> {
  const listText = await readFile(join(folder, LIST_FILE), "utf8").catch(() => "");
  const packets = parsePackets(listText);
  if (packets.length !== pts.length || packets.some((packet, i) => packet.pts !== pts[i])) return null;
  const packBytes = await stat(join(folder, PACK_FILE)).then(
    (state) => state.size,
    () => -1,
  );
  if (packets.reduce((sum, packet) => sum + packet.bytes, 0) !== packBytes) return null;
  return {
    bytes: packets.map((packet) => packet.bytes),
    checksums: packets.map((packet) => packet.checksum),
  };
}
