import { type FileHandle, open, readFile, rm, stat } from "node:fs/promises";
import { basename, join } from "node:path";
import type { GreyImage } from "../../shared/follow/grey-image.ts";
import type { ClipFacts } from "../../shared/session/clip-facts.ts";
import { parsePackets } from "./frame-list.ts";
import type { FrameStore } from "./frame-store.ts";
import { passthroughOptions } from "./list-clip.ts";
import type { GreyFrame } from "./media.ts";
import { cancelled, framesNotExact } from "./media-faults.ts";
import { isMadeUp, seekTo, selectRun, sourceFor, waysFor, whatItSaid } from "./reach-frames.ts";
import type { Ffmpeg } from "./run-ffmpeg.ts";

export interface GreyOrder {
  readonly key: string;
  readonly path: string;
  readonly facts: ClipFacts;
  /** The first frame that is given. */
  readonly from: number;
  /** The last one; before `from`, the frames come in falling order. */
  readonly to: number;
  readonly signal: AbortSignal;
}

const GREY_FILE = "frames.grey";
const LIST_FILE = "frames.list";
const STRETCH_BYTES = 200e6; // of planes on the disk at a time: some 96 frames of 1080p
const FIRST_FRAMES = 24; // a follower that ends soon should not have waited for hundreds
/** Pixel formats with a luma plane of their own; anything else is first turned into one that has. */
const HAS_LUMA = /^(yuv|nv|gray|p0\d\d|y2\d\d)/;

/**
 * Gives the frames of a run one after the other as grey pictures: the luma plane as it is coded, not rescaled to full range. They are
 * decoded a stretch at a time into a file of raw planes, beside the list of their times; one picture is in memory at a time. Each
 * picture is the caller's own. Whatever is left on the disk is removed when the caller stops asking.
 * @throws FaultError frames-not-exact, codec-unknown, clip-missing, disk-full, cache-unwritable, cancelled, ffmpeg-*
 */
export async function* greyFrames(
  ffmpeg: Ffmpeg,
  store: FrameStore,
  order: GreyOrder,
): AsyncGenerator<GreyFrame, void, void> {
  const { facts, from, to } = order;
  const back = to < from;
  const most = Math.max(1, Math.floor(STRETCH_BYTES / (facts.width * facts.height * bytesPerSample(facts))));
  let count = Math.min(FIRST_FRAMES, most);
  for (let next = from; back ? next >= to : next <= to; ) {
    const end = back ? Math.max(to, next - count + 1) : Math.min(to, next + count - 1);
    const folder = await store.makeFolder();
    try {
      const first = Math.min(next, end);
      await decodeStretch(ffmpeg, store, order, folder, first, Math.abs(end - next) + 1);
      const file = await open(join(folder, GREY_FILE), "r");
      try {
        for (let frame = next; back ? frame >= end : frame <= end; frame += back ? -1 : 1) {
          if (order.signal.aborted) throw cancelled();
          yield { index: frame, image: await readPlane(file, facts, frame - first) };
        }
      } finally {
        await file.close();
      }
    } finally {
      await rm(folder, { recursive: true, force: true });
    }
    next = back ? end - 1 : end + 1;
    count = most;
  }
}

async function decodeStretch(
  ffmpeg: Ffmpeg,
  store: FrameStore,
  order: GreyOrder,
  folder: string,
  from: number,
  count: number,
): Promise<void> {
  const { path, facts, signal } = order;
  const { hasFpsMode } = await ffmpeg.version();
  let said = "";
  for (const way of waysFor(facts.container)) {
    const source = await sourceFor(ffmpeg, store, way, order);
    if (source === null) continue;
    try {
      const { stderr } = await ffmpeg.run({
        input: source.path,
        inputOptions: ["-loglevel", "error", "-copyts", ...seekTo(way, source, from)],
        // The list tells the time of every plane, so that a frame the decoder dropped or made up cannot shift the rest unseen.
        output: `[f=rawvideo]${GREY_FILE}|[f=framecrc]${LIST_FILE}`,
        outputOptions: [
          ...["-map", "0:V:0", "-frames:v", String(count)],
          ...["-vf", [...selectRun(way, source, from, count), ...planeFilters(facts)].join(",")],
          ...passthroughOptions(hasFpsMode),
          ...["-enc_time_base", source.timeBase.join("/")],
          ...["-c:v", "rawvideo", "-f", "tee"],
        ],
        cwd: folder,
        signal,
      });
      said = stderr;
      if (!isMadeUp(stderr) && (await isExact(folder, facts, source.pts.slice(from, from + count)))) return;
    } catch (error) {
      said = await whatItSaid(error, path, facts, store);
    }
  }
  throw framesNotExact(basename(path), from, said);
}

/** ffmpeg turns the picture upright by itself, before these. */
function planeFilters(facts: ClipFacts): readonly string[] {
  const filters = [...(HAS_LUMA.test(facts.pixelFormat) ? [] : ["format=yuv444p"]), "extractplanes=y"];
  // Only then: a scaler in front may hand on a format that has no luma plane to take.
  if (facts.pixelAspect[0] !== facts.pixelAspect[1]) {
    filters.push(`scale=${facts.width}:${facts.height}:flags=bicubic`);
  }
  return filters;
}

function bytesPerSample(facts: ClipFacts): 1 | 2 {
  return HAS_LUMA.test(facts.pixelFormat) && facts.bitDepth > 8 ? 2 : 1;
}

async function isExact(folder: string, facts: ClipFacts, pts: readonly number[]): Promise<boolean> {
  const bytes = facts.width * facts.height * bytesPerSample(facts);
  const packets = parsePackets(await readFile(join(folder, LIST_FILE), "utf8").catch(() => ""));
  if (packets.length !== pts.length) return false;
  if (packets.some((packet, i) => packet.pts !== pts[i] || packet.bytes !== bytes)) return false;
  const size = await stat(join(folder, GREY_FILE)).then(
    (state) => state.size,
    () => -1,
  );
  return size === bytes * pts.length;
}

async function readPlane(file: FileHandle, facts: ClipFacts, at: number): Promise<GreyImage> {
  const { width, height, bitDepth } = facts;
  const deep = bytesPerSample(facts) === 2;
  const bytes = new Uint8Array(width * height * (deep ? 2 : 1));
  for (let read = 0; read < bytes.length; ) {
    const { bytesRead } = await file.read(bytes, read, bytes.length - read, at * bytes.length + read);
    if (bytesRead === 0) throw new Error(`the planes end before number ${at}`);
    read += bytesRead;
  }
  return { data: deep ? eightBitScale(bytes, bitDepth) : bytes, width, height };
}

/** Little-endian 16-bit samples on the scale 0 to 255, with their fractions. */
function eightBitScale(bytes: Uint8Array, bitDepth: number): Float32Array {
  const scale = 2 ** (8 - bitDepth);
  return Float32Array.from(
    { length: bytes.length / 2 },
    (_, i) => scale * ((bytes[2 * i] as number) + 256 * (bytes[2 * i + 1] as number)),
  );
}
