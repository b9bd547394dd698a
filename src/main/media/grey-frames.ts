import { type FileHandle, open, rm, stat } from "node:fs/promises";
import { basename, join } from "node:path";
import type { ClipFacts } from "../../shared/session/clip-facts.ts";
import { type DamageBook, GIVES_NO_PICTURE } from "./damage-book.ts";
import { complains } from "./decode-report.ts";
import { parsePackets } from "./frame-list.ts";
import type { FrameStore } from "./frame-store.ts";
import { bytesOfPlane, pictureOf, planeFilters } from "./grey-plane.ts";
import { passthroughOptions, withList } from "./list-clip.ts";
import type { GreyFrame } from "./media.ts";
import { cancelled, framesNotExact } from "./media-faults.ts";
import type { FrameRun } from "./pack-plan.ts";
import { LONGEST_RUN, PLANES_AT_A_TIME, startPlaneRun } from "./plane-run.ts";
import {
  AS_IT_COMES,
  ONLY_FORWARD,
  type ReachedClip,
  STRICTLY,
  seekTo,
  selectRun,
  sourceFor,
  type Way,
  waysFor,
  whatItSaid,
} from "./reach-frames.ts";
import type { Ffmpeg } from "./run-ffmpeg.ts";

export interface GreyOrder extends ReachedClip {
  /** The first frame that is given. */
  readonly from: number;
  /** The last one; before `from`, the frames come in falling order. */
  readonly to: number;
  /** Frames from here on are kept where they are decoded on the way to the first. */
  readonly keepFrom: number;
}

const GREY_FILE = "frames.grey";
const RUN_BYTES = 600e6; // of planes on the disk at a time, before they are kept: 290 frames of 1080p
const STRETCH = 96; // frames that are examined at a time where something is damaged

/**
 * Gives the frames of a run one after the other as grey pictures: the luma plane as it is coded, not rescaled
 * to full range. Damaged frames are left out. The others come from the cache where they were decoded before,
 * and go into it, as far as it has room; those beside damage do not. A picture is given while the next ones
 * are decoded. Its samples may be shared by threads. What is not in the cache is removed from the disk when
 * the caller stops asking.
 * @throws FaultError frames-not-exact, codec-unknown, clip-missing, disk-full,
 *   cache-unwritable, cancelled, ffmpeg-*
 */
export async function* greyFrames(
  ffmpeg: Ffmpeg,
  store: FrameStore,
  damage: DamageBook,
  order: GreyOrder,
): AsyncGenerator<GreyFrame, void, void> {
  const { key, facts, from, to, signal } = order;
  const step = to < from ? -1 : 1;
  const ways = waysFor(facts.container);
  let way = 0;
  let works = false;
  const isDamaged = (frame: number) => damage.of(key).has(frame);
  for (let next = from; step * (to - next) >= 0; ) {
    if (signal.aborted) throw cancelled();
    if (isDamaged(next)) {
      next += step;
      continue;
    }
    const plane = await store.read(key, "grey", next);
    if (plane !== null && plane.length === bytesOfPlane(facts)) {
      yield { index: next, image: pictureOf(plane, facts) };
      next += step;
      continue;
    }
    const kept = await store.coverage(key, "grey");
    const has = (frame: number) => kept(frame) || isDamaged(frame);
    const run = runFor(facts, next, to, has, next === from ? order.keepFrom : next);
    let given = next;
    for await (const frame of ofRun(ffmpeg, store, ways[way] as Way, order, run, next, step)) {
      given = frame.index + step;
      yield frame;
    }
    works ||= given !== next;
    if (given !== next) next = given;
    else if (!works && way + 1 < ways.length) way++;
    else {
      next = yield* examined(ffmpeg, store, damage, order, next, step);
      if (!works) way = 0;
    }
  }
}

/**
 * What one process decodes for a frame and those after it, up to one that need not be: ahead to the end, or
 * to a key frame if the end is too far; back to a key frame, so that nothing is decoded twice.
 * @param keepFrom going ahead: where those before it that are decoded on the way begin to be kept
 */
export function runFor(
  facts: Pick<ClipFacts, "keyFrames" | "width" | "height" | "pixelFormat" | "bitDepth">,
  next: number,
  to: number,
  has: (frame: number) => boolean,
  keepFrom = next,
): FrameRun {
  const { keyFrames } = facts;
  const most = Math.max(1, Math.min(LONGEST_RUN, Math.floor(RUN_BYTES / bytesOfPlane(facts))));
  if (to >= next) {
    const decoded = keyFrames.findLast((frame) => frame <= next) ?? next;
    let first = next;
    while (first > Math.max(keepFrom, decoded) && next - first + 1 < most / 2 && !has(first - 1)) first--;
    let last = next;
    while (last < to && last - first + 1 < most && !has(last + 1)) last++;
    const key = keyFrames.findLast((frame) => frame <= last + 1 && frame > first + most / 2);
    const cut = last < to && last - first + 1 >= most && key !== undefined && key > next;
    return { from: first, to: cut ? key - 1 : last };
  }
  let first = next;
  while (first > to && next - first + 1 < most && !has(first - 1)) first--;
  const key = keyFrames.findLast((frame) => frame <= Math.max(0, next + 1 - PLANES_AT_A_TIME));
  return { from: Math.max(first, key ?? 0), to: next };
}

/** The frames of a run, for as long as they can be trusted; in falling order once all of them are decoded. */
async function* ofRun(
  ffmpeg: Ffmpeg,
  store: FrameStore,
  way: Way,
  order: GreyOrder,
  { from, to }: FrameRun,
  next: number,
  step: 1 | -1,
): AsyncGenerator<GreyFrame, void, void> {
  const planned = { ...order, from, count: to - from + 1 };
  const run = await startPlaneRun(ffmpeg, store, way, planned);
  if (run === null) return;
  try {
    const last = step > 0 ? to : from;
    for (let frame = next; step * (last - frame) >= 0; frame += step) {
      if (order.signal.aborted) throw cancelled();
      if (!(await run.until(frame))) return;
      const plane = await run.read(frame);
      if (plane === null) return;
      yield { index: frame, image: pictureOf(plane, order.facts) };
      const passed = step > 0 ? frame + 1 - from : frame - from;
      if (passed % PLANES_AT_A_TIME === 0) await run.pass(frame);
    }
  } finally {
    await run.close();
  }
}

/**
 * The frames of a stretch in which something is damaged, each judged for itself.
 * @returns the frame after it
 */
async function* examined(
  ffmpeg: Ffmpeg,
  store: FrameStore,
  damage: DamageBook,
  order: GreyOrder,
  next: number,
  step: 1 | -1,
): AsyncGenerator<GreyFrame, number, void> {
  const end = step > 0 ? Math.min(order.to, next + STRETCH - 1) : Math.max(order.to, next - STRETCH + 1);
  const folder = await store.makeFolder();
  try {
    const count = Math.abs(end - next) + 1;
    const places = await decodeStretch(ffmpeg, store, damage, order, folder, Math.min(next, end), count);
    if (places.size > 0) yield* planes(join(folder, GREY_FILE), order, places, next, end);
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
  return end + step;
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
      if (place !== undefined)
        yield { index: frame, image: pictureOf(await readPlane(file, facts, place), facts) };
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

/** Number of each plane by its ticks; none when the file does not hold them all, byte for byte. */
async function placesIfWhole(
  folder: string,
  listText: string,
  facts: ClipFacts,
): Promise<ReadonlyMap<number, number>> {
  const bytes = bytesOfPlane(facts);
  const packets = parsePackets(listText);
  const size = await stat(join(folder, GREY_FILE)).then(
    (state) => state.size,
    () => -1,
  );
  if (packets.some((packet) => packet.bytes !== bytes) || size !== bytes * packets.length) return new Map();
  return new Map(packets.map(({ pts }, i) => [pts, i]));
}

async function readPlane(file: FileHandle, facts: ClipFacts, at: number): Promise<Uint8Array> {
  const bytes = new Uint8Array(new SharedArrayBuffer(bytesOfPlane(facts)));
  for (let read = 0; read < bytes.length; ) {
    const { bytesRead } = await file.read(bytes, read, bytes.length - read, at * bytes.length + read);
    if (bytesRead === 0) throw new Error(`the planes end before number ${at}`);
    read += bytesRead;
  }
  return bytes;
}
