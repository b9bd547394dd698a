import { open, rm, stat } from "node:fs/promises";
import { basename, join } from "node:path";
import type { ClipFacts } from "../../shared/session/clip-facts.ts";
import { type DamageBook, GIVES_NO_PICTURE } from "./damage-book.ts";
import { complains, framesDone } from "./decode-report.ts";
import { type ListedPacket, parsePackets } from "./frame-list.ts";
import { type FrameStore, PACK_FILE } from "./frame-store.ts";
import { passthroughOptions, withList } from "./list-clip.ts";
import type { FrameSize } from "./media.ts";
import { framesNotExact } from "./media-faults.ts";
import type { FrameRun } from "./pack-plan.ts";
import {
  AS_IT_COMES,
  ONLY_FORWARD,
  STRICTLY,
  seekTo,
  selectRun,
  sourceFor,
  type Way,
  waysFor,
  whatItSaid,
} from "./reach-frames.ts";
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

/** The pictures that one run wrote, and where each lies in the pack. */
interface Written {
  readonly packets: readonly ListedPacket[];
  readonly stderr: string;
}

/**
 * Makes packs of exact frames: one ffmpeg process writes the JPEGs and, beside them, the time, size and
 * checksum of every picture it wrote. Only when those times are the clip's own for every frame asked for, and
 * nothing was complained about, does the pack enter the cache as it is; else the next way of reaching the
 * frames is tried. When none serves, the stretch is examined, and what is sound of it enters the cache, in a
 * pack for each run between damaged frames.
 */
export function createPackMaker(ffmpeg: Ffmpeg, store: FrameStore, damage: DamageBook) {
  const wayThatWorked = new Map<string, Way>();

  /**
   * @throws FaultError frames-not-exact, codec-unknown, clip-missing, disk-full,
   *   cache-unwritable, cancelled, ffmpeg-*
   */
  return async function makePack(order: PackOrder): Promise<void> {
    const { key, facts, from, count } = order;
    const all = waysFor(facts.container);
    const known = wayThatWorked.get(key);
    const ways = known === undefined ? all : all.slice(all.indexOf(known));
    const run = { from, to: from + count - 1 };
    const said: string[] = [];
    if (!some(run, (frame) => damage.of(key).has(frame))) {
      const whole = await tryWays(ways, order, true);
      if (whole.exact !== null) {
        wayThatWorked.set(key, whole.exact);
        return;
      }
      said.push(...whole.said.slice(-1));
    }
    const damaged = await damage.examine(order, run);
    if (!some(run, (frame) => !damaged.has(frame))) return;
    const sound = await tryWays(ways, order, false);
    if (sound.exact !== null) return;
    said.push(...sound.said);
    if (damaged.size === 0) {
      throw framesNotExact(basename(order.path), from, said.findLast((text) => text !== "") ?? "");
    }
    const has = await store.coverage(key, order.size);
    for (const part of partsOf(run, (frame) => !damaged.has(frame) && !has(frame))) {
      // Beside damage a frame may have no exact picture though nothing was said of it: then
      // it is one of the damaged.
      if (part.from === part.to) damage.note(key, [part.from], GIVES_NO_PICTURE);
      else await makePack({ ...order, from: part.from, count: part.to - part.from + 1, onFrames: () => {} });
    }
  };

  /** The first way that gives the frames exactly, or null; and what was said on each that did not. */
  async function tryWays(ways: readonly Way[], order: PackOrder, whole: boolean) {
    const said: string[] = [];
    for (const way of ways) {
      const source = await sourceFor(ffmpeg, store, way, order);
      if (source === null) continue;
      const { exact, stderr } = await attempt(way, source, order, whole);
      if (exact) return { exact: way, said };
      said.push(stderr);
    }
    return { exact: null, said };
  }

  /** @param whole only all frames will do, and no complaint; else what is not damaged */
  async function attempt(way: Way, source: SeekSource, order: PackOrder, whole: boolean) {
    const { key, path, facts, size, from, count, signal } = order;
    const { hasFpsMode } = await ffmpeg.version();
    const folder = await store.makeFolder();
    try {
      const { stdout, stderr } = await ffmpeg.run({
        input: source.path,
        inputOptions: [
          ...(whole ? STRICTLY : AS_IT_COMES),
          "-stats",
          "-copyts",
          ...seekTo(way, source, from),
        ],
        // Both outputs get the very same encoded packets, so the list tells where each
        // picture lies in the pack.
        output: withList("image2pipe", PACK_FILE),
        outputOptions: [
          ...["-map", "0:V:0", "-frames:v", String(count)],
          ...filterOptions(way, source, order, whole),
          ...passthroughOptions(hasFpsMode),
          ...["-enc_time_base", source.timeBase.join("/")],
          ...["-c:v", "mjpeg", "-q:v", "2", "-pix_fmt", "yuvj420p", "-f", "tee"],
        ],
        cwd: folder,
        urgent: order.urgent,
        signal,
        onLine: (line) => {
          const done = framesDone(line);
          if (done !== null) order.onFrames(Math.min(count, done));
        },
      });
      const written = { packets: await packetsIfWhole(folder, stdout), stderr };
      return whole
        ? await publishWhole(written, folder, key, size, source.pts.slice(from, from + count), from)
        : await publishSound(written, folder, order, source.pts);
    } catch (error) {
      return { exact: false, stderr: await whatItSaid(error, path, facts, store) };
    } finally {
      await rm(folder, { recursive: true, force: true });
    }
  }

  async function publishWhole(
    { packets, stderr }: Written,
    folder: string,
    key: string,
    size: FrameSize,
    pts: readonly number[],
    from: number,
  ) {
    const exact = packets.length === pts.length && packets.every((packet, i) => packet.pts === pts[i]);
    if (!exact || complains(stderr)) return { exact: false, stderr };
    await store.publish(folder, key, size, from, indexOf(packets));
    return { exact: true, stderr };
  }

  /**
   * Publishes each run of sound frames by itself. Not exact when one that nothing was
   * found against is missing.
   */
  async function publishSound(
    { packets, stderr }: Written,
    folder: string,
    { key, size, from, count }: PackOrder,
    pts: readonly number[],
  ) {
    const damaged = damage.of(key);
    const byTime = new Map(packets.map((packet, i) => [packet.pts, i]));
    let missing = false;
    let run: number[] = []; // numbers of packets, of frames one after the other
    for (let frame = from; frame <= from + count; frame++) {
      const at = frame < from + count && !damaged.has(frame) ? byTime.get(pts[frame] as number) : undefined;
      missing ||= frame < from + count && !damaged.has(frame) && at === undefined;
      if (at !== undefined) run.push(at);
      else if (run.length > 0) {
        await publishPart(folder, packets, run, key, size, frame - run.length);
        run = [];
      }
    }
    return { exact: !missing, stderr };
  }

  async function publishPart(
    folder: string,
    packets: readonly ListedPacket[],
    run: readonly number[],
    key: string,
    size: FrameSize,
    from: number,
  ) {
    const part = await store.makeFolder();
    try {
      const [source, target] = [
        await open(join(folder, PACK_FILE), "r"),
        await open(join(part, PACK_FILE), "w"),
      ];
      try {
        for (const at of run) {
          const jpeg = Buffer.alloc((packets[at] as ListedPacket).bytes);
          const start = packets.slice(0, at).reduce((sum, { bytes }) => sum + bytes, 0);
          await source.read(jpeg, 0, jpeg.length, start);
          await target.write(jpeg);
        }
      } finally {
        await source.close();
        await target.close();
      }
      await store.publish(part, key, size, from, indexOf(run.map((at) => packets[at] as ListedPacket)));
    } finally {
      await rm(part, { recursive: true, force: true });
    }
  }
}

function indexOf(packets: readonly ListedPacket[]) {
  return {
    bytes: packets.map((packet) => packet.bytes),
    checksums: packets.map((packet) => packet.checksum),
  };
}

/**
 * Runs of the frames that are missing; where all are, halves: a decoder that stumbles once takes all with it.
 */
function partsOf(run: FrameRun, isMissing: (frame: number) => boolean): readonly FrameRun[] {
  const parts: { from: number; to: number }[] = [];
  for (const frame of framesOf(run).filter(isMissing)) {
    const last = parts.at(-1);
    if (last?.to === frame - 1) last.to = frame;
    else parts.push({ from: frame, to: frame });
  }
  const [first] = parts;
  if (first === undefined || first.from > run.from || first.to < run.to || run.from === run.to) return parts;
  const middle = Math.floor((run.from + run.to) / 2);
  return [
    { from: run.from, to: middle },
    { from: middle + 1, to: run.to },
  ];
}

function framesOf({ from, to }: FrameRun): readonly number[] {
  return Array.from({ length: to - from + 1 }, (_, i) => from + i);
}

function some(run: FrameRun, is: (frame: number) => boolean): boolean {
  return framesOf(run).some(is);
}

/**
 * ffmpeg turns the picture upright by itself, before these filters, so that sizes here are
 * those of the upright one.
 */
function filterOptions(way: Way, source: SeekSource, order: PackOrder, whole: boolean): readonly string[] {
  const { facts, size, from, count } = order;
  const filters: string[] = [];
  filters.push(...selectRun(way, source, from, count), ...(whole ? [] : ONLY_FORWARD));
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

/** The pictures that a run listed; none when the file does not hold them all, byte for byte. */
async function packetsIfWhole(folder: string, listText: string): Promise<readonly ListedPacket[]> {
  const packets = parsePackets(listText);
  const packBytes = await stat(join(folder, PACK_FILE)).then(
    (state) => state.size,
    () => -1,
  );
  return packets.reduce((sum, packet) => sum + packet.bytes, 0) === packBytes ? packets : [];
}
