import { open, rename, rm } from "node:fs/promises";
import { join } from "node:path";
import { complains, LATE_BY } from "./decode-report.ts";
import { type ListedPacket, parsePackets } from "./frame-list.ts";
import { type FrameStore, PACK_FILE } from "./frame-store.ts";
import { bytesOfPlane, planeFilters } from "./grey-plane.ts";
import { passthroughOptions, withList } from "./list-clip.ts";
import {
  type ReachedClip,
  STRICTLY,
  seekTo,
  selectRun,
  sourceFor,
  type Way,
  whatItSaid,
} from "./reach-frames.ts";
import type { Ffmpeg } from "./run-ffmpeg.ts";
import type { SeekSource } from "./seekable-copy.ts";

/** Frames in a file of planes: what is kept, and thrown away, at a time. */
export const PLANES_AT_A_TIME = 24;
const LEAST_KEPT = 8; // frames; a single picture that was looked at is not worth its place
/** Frames of a run at most: the list of its files stands in one argument. */
export const LONGEST_RUN = 480;

/**
 * A process that decodes a run of frames into files of luma planes, and what of them can be trusted so far:
 * every picture has the time that the clip lists, and nothing was said against it until sixteen more had
 * come, which is as late as a decoder may say it.
 */
export interface PlaneRun {
  /** Waits until a frame can be given. @returns false where the run ended, or was ended, before it */
  until(frame: number): Promise<boolean>;
  /**
   * The samples of a frame that can be given, in memory that threads share; null where the run was ended
   * before ffmpeg had written them out.
   */
  read(frame: number): Promise<Uint8Array | null>;
  /** Puts the file that holds a frame into the cache: none of its frames is read any more. */
  pass(frame: number): Promise<void>;
  /** Ends the process, and keeps the files of which every frame can be trusted. */
  close(): Promise<void>;
}

/** A run of frames of a clip. */
export interface RunOfPlanes extends ReachedClip {
  readonly from: number;
  readonly count: number;
}

/**
 * Starts one; null when the way is closed.
 * @throws FaultError disk-full, cache-unwritable, ffmpeg-*
 */
export async function startPlaneRun(
  ffmpeg: Ffmpeg,
  store: FrameStore,
  way: Way,
  order: RunOfPlanes,
): Promise<PlaneRun | null> {
  const { key, facts, from, count, path, signal } = order;
  const source = await sourceFor(ffmpeg, store, way, order);
  if (source === null) return null;
  const { hasFpsMode } = await ffmpeg.version();
  const folder = await store.makeFolder();
  const bytes = bytesOfPlane(facts);
  const stop = new AbortController();
  const listed: ListedPacket[] = [];
  const kept = new Set<number>();
  let line = "";
  let trusted = 0;
  let state: "running" | "spoilt" | "whole" | "over" = "running";
  let thrown: unknown = null;
  let wake = () => {};
  let woken = fresh();

  function fresh(): Promise<void> {
    return new Promise((resolve) => {
      wake = resolve;
    });
  }
  const told = () => {
    wake();
    woken = fresh();
  };
  /** After what was said has been read as well: both come by pipes of their own. */
  const recount = () =>
    setImmediate(() => {
      if (state === "running") trusted = Math.max(trusted, listed.length - LATE_BY);
      told();
    });
  const spoil = () => {
    if (state !== "running") return;
    state = "spoilt";
    stop.abort();
    told();
  };
  const take = (text: string) => {
    const lines = (line + text).split("\n");
    line = lines.pop() as string;
    for (const packet of parsePackets(lines.join("\n"))) {
      const wanted = source.pts[from + listed.length];
      if (listed.length >= count || packet.pts !== wanted || packet.bytes !== bytes) return spoil();
      listed.push(packet);
    }
    recount();
  };

  const done = ffmpeg
    .run({
      input: source.path,
      inputOptions: [...STRICTLY, "-copyts", ...seekTo(way, source, from)],
      output: withList(segmented(count), "%d.grey"),
      outputOptions: outputOptions(way, source, order, hasFpsMode),
      cwd: folder,
      signal: AbortSignal.any([signal, stop.signal]),
      onOutput: take,
      onLine: (text) => {
        if (complains(text)) spoil();
      },
    })
    .then(
      () => {
        if (state !== "running") return;
        state = listed.length === count ? "whole" : "over";
        if (state === "whole") trusted = count;
      },
      async (error: unknown) => {
        if (state !== "running") return;
        state = "over";
        if (!stop.signal.aborted) await whatItSaid(error, path, facts, store);
      },
    )
    .catch((error: unknown) => {
      thrown = error;
    })
    .finally(told);

  const fileAt = (at: number) => Math.floor(at / PLANES_AT_A_TIME);

  /** Moves one file into a pack of the cache, unless it is there or a frame of it cannot be trusted. */
  async function keep(file: number): Promise<void> {
    const first = file * PLANES_AT_A_TIME;
    const frames = listed.slice(first, Math.min(count, first + PLANES_AT_A_TIME));
    if (kept.has(file) || first + frames.length > trusted || frames.length < LEAST_KEPT) return;
    if (frames.length < PLANES_AT_A_TIME && state !== "whole") return;
    kept.add(file);
    try {
      const pack = await store.makeFolder();
      await rename(join(folder, `${file}.grey`), join(pack, PACK_FILE));
      const index = { bytes: frames.map(() => bytes), checksums: frames.map(({ checksum }) => checksum) };
      await store.publish(pack, key, "grey", from + first, index);
    } catch {
      // They were given: that they must be decoded again next time is no fault of this one.
    }
  }

  return {
    async until(frame) {
      while (frame - from >= trusted) {
        if (thrown !== null) throw thrown;
        if (state !== "running") return false;
        await woken;
      }
      return true;
    },
    async read(frame) {
      const file = fileAt(frame - from);
      const at = frame - from - file * PLANES_AT_A_TIME;
      for (;;) {
        const ended = state !== "running"; // asked before the file is: what an end left is all in it
        const plane = await planeAt(join(folder, `${file}.grey`), bytes, at * bytes);
        if (plane !== null) return plane;
        if (thrown !== null) throw thrown;
        if (ended) return null;
        // Small pictures wait in ffmpeg's own memory for more of them.
        if (state === "running") await woken;
      }
    },
    async pass(frame) {
      await keep(fileAt(frame - from));
    },
    async close() {
      stop.abort();
      await done;
      for (let file = 0; file * PLANES_AT_A_TIME < trusted; file++) await keep(file);
      await rm(folder, { recursive: true, force: true });
    },
  };
}

/** The muxer that begins a file anew after so many pictures. */
function segmented(count: number): string {
  const cuts = Array.from(
    { length: Math.ceil(count / PLANES_AT_A_TIME) },
    (_, i) => (i + 1) * PLANES_AT_A_TIME,
  );
  return `segment:segment_format=rawvideo:segment_frames=${cuts.join(",")}`;
}

function outputOptions(
  way: Way,
  source: SeekSource,
  { facts, from, count }: RunOfPlanes,
  hasFpsMode: boolean,
): readonly string[] {
  return [
    ...["-map", "0:V:0", "-frames:v", String(count)],
    ...["-vf", [...selectRun(way, source, from, count), ...planeFilters(facts)].join(",")],
    ...passthroughOptions(hasFpsMode),
    ...["-enc_time_base", source.timeBase.join("/")],
    ...["-c:v", "rawvideo", "-f", "tee"],
  ];
}

/** Null where the file does not reach so far yet. */
async function planeAt(path: string, bytes: number, start: number): Promise<Uint8Array | null> {
  const file = await open(path, "r");
  try {
    const plane = new Uint8Array(new SharedArrayBuffer(bytes));
    for (let read = 0; read < bytes; ) {
      const { bytesRead } = await file.read(plane, read, bytes - read, start + read);
      if (bytesRead === 0) return null;
      read += bytesRead;
    }
    return plane;
  } finally {
    await file.close();
  }
}
