import { type FileHandle, open, rm, stat } from "node:fs/promises";
import { basename, join } from "node:path";
import type { GreyImage } from "../../shared/follow/grey-image.ts";
import type { ClipFacts } from "../../shared/session/clip-facts.ts";
import { type DamageBook, GIVES_NO_PICTURE } from "./damage-book.ts";
import { complains } from "./decode-report.ts";
import { parsePackets } from "./frame-list.ts";
import type { FrameStore } from "./frame-store.ts";
import { passthroughOptions, withList } from "./list-clip.ts";
import type { GreyFrame } from "./media.ts";
import { cancelled, framesNotExact } from "./media-faults.ts";
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
const STRETCH_BYTES = 200e6; // of planes on the disk at a time: some 96 frames of 1080p
const FIRST_FRAMES = 24; // a follower that ends soon should not have waited for hundreds
/** Pixel formats with a luma plane of their own; anything else is first turned into one that has. */
const HAS_LUMA = /^(yuv|nv|gray|p0\d\d|y2\d\d)/;

/**
 * Gives the frames of a run one after the other as grey pictures: the luma plane as it is coded, not rescaled
 * to full range. Damaged frames are left out. They are decoded a stretch at a time into a file of raw planes,
 * beside the list of their times; one picture is in memory at a time. Each picture is the caller's own.
 * Whatever is left on the disk is removed when the caller stops asking.
 * @throws FaultError frames-not-exact, codec-unknown, clip-missing, disk-full,
 *   cache-unwritable, cancelled, ffmpeg-*
 */
export async function* greyFrames(
  ffmpeg: Ffmpeg,
  store: FrameStore,
  damage: DamageBook,
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
      const places = await decodeStretch(
        ffmpeg,
        store,
        damage,
        order,
        folder,
        first,
        Math.abs(end - next) + 1,
      );
      if (places.size > 0) yield* planes(join(folder, GREY_FILE), order, places, next, end);
    } finally {
      await rm(folder, { recursive: true, force: true });
    }
    next = back ? end - 1 : end + 1;
    count = most;
  }
}

async function* planes(
  path: string,
  { facts, signal }: GreyOrder,
  places: ReadonlyMap<number, number>,
  from: number,
  to: number,
): AsyncGenerator<GreyFrame, void, void> {
  const step = to < from ? -1 : 1;
  const file = await open(path, "r");
  try {
    for (let frame = from; frame !== to + step; frame += step) {
      if (signal.aborted) throw cancelled();
      const place = places.get(frame);
      if (place !== undefined) yield { index: frame, image: await readPlane(file, facts, place) };
    }
  } finally {
    await file.close();
  }
}

/** @returns where each frame that can be trusted lies among the planes of the file */
async function decodeStretch(
  ffmpeg: Ffmpeg,
  store: FrameStore,
  damage: DamageBook,
  order: GreyOrder,
  folder: string,
  from: number,
  count: number,
): Promise<ReadonlyMap<number, number>> {
  const { key, path, facts } = order;
  const frames = Array.from({ length: count }, (_, i) => from + i);
  let said = "";
  if (!frames.some((frame) => damage.of(key).has(frame))) {
    for (const way of waysFor(facts.container)) {
      const written = await attempt(ffmpeg, store, order, folder, way, from, count, STRICTLY);
      if (written === null) continue;
      said = written.stderr;
      const exact = frames.every((frame, i) => written.places.get(frame) === i);
      if (exact && written.planes === count && !complains(said)) return written.places;
    }
  }
  const damaged = await damage.examine(order, { from, to: from + count - 1 });
  const sound = frames.filter((frame) => !damaged.has(frame));
  if (sound.length === 0) return new Map();
  let most: ReadonlyMap<number, number> = new Map();
  for (const way of waysFor(facts.container)) {
    const written = await attempt(ffmpeg, store, order, folder, way, from, count, AS_IT_COMES);
    if (written === null) continue;
    said = written.stderr;
    const places = new Map([...written.places].filter(([frame]) => !damaged.has(frame)));
    if (places.size > most.size) most = places;
    if (places.size === sound.length) return places;
  }
  if (damaged.size === 0) throw framesNotExact(basename(path), from, said);
  // Beside damage a frame may have no exact picture though nothing was said of it: then
  // it is one of the damaged.
  damage.note(
    key,
    sound.filter((frame) => !most.has(frame)),
    GIVES_NO_PICTURE,
  );
  // All ways write the same file: the one that gave most is taken again.
  return decodeStretch(ffmpeg, store, damage, order, folder, from, count);
}

/** The planes that one run wrote: null when the way is closed, no places when it failed. */
async function attempt(
  ffmpeg: Ffmpeg,
  store: FrameStore,
  order: GreyOrder,
  folder: string,
  way: Way,
  from: number,
  count: number,
  how: readonly string[],
): Promise<{
  readonly stderr: string;
  readonly planes: number;
  readonly places: ReadonlyMap<number, number>;
} | null> {
  const { path, facts, signal } = order;
  const { hasFpsMode } = await ffmpeg.version();
  const source = await sourceFor(ffmpeg, store, way, order);
  if (source === null) return null;
  const forward = how === AS_IT_COMES ? ONLY_FORWARD : [];
  try {
    const { stdout, stderr } = await ffmpeg.run({
      input: source.path,
      inputOptions: [...how, "-copyts", ...seekTo(way, source, from)],
      // The list tells the time of every plane, so that a frame the decoder dropped or made up
      // cannot shift the rest unseen.
      output: withList("rawvideo", GREY_FILE),
      outputOptions: [
        ...["-map", "0:V:0", "-frames:v", String(count)],
        ...["-vf", [...selectRun(way, source, from, count), ...forward, ...planeFilters(facts)].join(",")],
        ...passthroughOptions(hasFpsMode),
        ...["-enc_time_base", source.timeBase.join("/")],
        ...["-c:v", "rawvideo", "-f", "tee"],
      ],
      cwd: folder,
      signal,
    });
    const placeAt = await placesIfWhole(folder, stdout, facts);
    const places = new Map<number, number>();
    for (let frame = from; frame < from + count; frame++) {
      const place = placeAt.get(source.pts[frame] as number);
      if (place !== undefined) places.set(frame, place);
    }
    return { stderr, planes: placeAt.size, places };
  } catch (error) {
    return { stderr: await whatItSaid(error, path, facts, store), planes: 0, places: new Map() };
  }
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

/** Number of each plane by its ticks; none when the file does not hold them all, byte for byte. */
async function placesIfWhole(
  folder: string,
  listText: string,
  facts: ClipFacts,
): Promise<ReadonlyMap<number, number>> {
  const bytes = facts.width * facts.height * bytesPerSample(facts);
  const packets = parsePackets(listText);
  const size = await stat(join(folder, GREY_FILE)).then(
    (state) => state.size,
    () => -1,
  );
  if (packets.some((packet) => packet.bytes !== bytes) || size !== bytes * packets.length) return new Map();
  return new Map(packets.map(({ pts }, i) => [pts, i]));
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

/**
 * Little-endian 16-bit samples on the scale 0 to 255, with their fractions. A plain loop, because it
 * runs in the host's own thread: 2 million samples take it some milliseconds, and `Float32Array.from`
 * with a function a hundred.
 */
function eightBitScale(bytes: Uint8Array, bitDepth: number): Float32Array {
  const scale = 2 ** (8 - bitDepth);
  const samples = new Float32Array(bytes.length / 2);
  for (let i = 0; i < samples.length; i++) {
    samples[i] = scale * ((bytes[2 * i] as number) + 256 * (bytes[2 * i + 1] as number));
  }
  return samples;
}
