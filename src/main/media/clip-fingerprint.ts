import { createHash } from "node:crypto";
import { promises as fs } from "node:fs";
import { mkdir, readFile, utimes } from "node:fs/promises";
import { basename, join } from "node:path";
import { z } from "zod";
import { writeAtomically } from "../store/atomic-write.ts";
import { type FileStamp, isOfEntry, stampOf, stampOfOpen } from "./file-stamp.ts";
import { createLimit } from "./limit-parallel.ts";
import type { MediaOptions, Progress } from "./media.ts";
import { cancelled, clipChanging, readingFault } from "./media-faults.ts";
import { type SharedWork, shareWork } from "./shared-work.ts";

/** A clip as the field folder lists it, with its absolute path. */
export interface ClipFile {
  readonly path: string;
  readonly bytes: number;
  /** ms, as Stats.mtimeMs. */
  readonly modifiedMs: number;
}

/**
 * Fingerprints of clips: "sha256-" and 64 hexadecimal digits of the SHA-256 of the whole content. Two clips
 * of the same fingerprint hold the same bytes, whatever they are called and wherever they lie.
 */
export interface ClipFingerprints {
  /**
   * The fingerprint, read from the file the first time and remembered after that. Several that ask at once
   * share one reading, which stops when all of them have aborted; progress is told in bytes read.
   * @throws FaultError clip-changing when the file is not (or no longer) of the size and time given, or
   *   changes while it is read; clip-missing, clip-unreadable, cancelled
   */
  of(clip: ClipFile, options?: MediaOptions): Promise<string>;
  /**
   * What is remembered of this very state of the file; null when it was not read yet, or is not of
   * the size and time given.
   */
  known(clip: ClipFile): Promise<string | null>;
}

// hashed in a millisecond or two: others of this process get their turn between two
const CHUNK_BYTES = 1 << 20;
// one disk gives two no more together, but a short clip need not wait for a long one
const READINGS_AT_ONCE = 2;
// what is asked for is not the longest unused; a day's order is fine enough
const TOUCH_EVERY_MS = 24 * 3600_000;

const KeptSchema = z.strictObject({ fingerprint: z.string().regex(/^sha256-[0-9a-f]{64}$/) });

interface Reading {
  readonly work: SharedWork<string>;
  readonly watchers: Set<(progress: Progress) => void>;
}

const ofProcess = new Map<string, ClipFingerprints>();

/** The fingerprints of a cache folder that this whole process shares, so that no clip is read twice. */
export function fingerprintsOfProcess(cacheDir: string): ClipFingerprints {
  const shared = ofProcess.get(cacheDir) ?? createClipFingerprints(cacheDir);
  ofProcess.set(cacheDir, shared);
  return shared;
}

/**
 * Remembers in memory and in `cacheDir`/fingerprints, under path, size, times and number of the file (see
 * stampOf): whatever changes one of them has the clip read again. A cache that cannot be written costs the
 * reading at the next start, nothing else.
 */
export function createClipFingerprints(cacheDir: string): ClipFingerprints {
  const directory = join(cacheDir, "fingerprints");
  const remembered = new Map<string, string>();
  const readings = new Map<string, Reading>();
  const limit = createLimit(READINGS_AT_ONCE);

  async function kept(key: string): Promise<string | null> {
    const here = remembered.get(key);
    if (here !== undefined) return here;
    const file = fileOf(key);
    try {
      const { fingerprint } = KeptSchema.parse(JSON.parse(await readFile(file, "utf8")));
      remembered.set(key, fingerprint);
      await touch(file);
      return fingerprint;
    } catch {
      return null; // Not there, or not whole: the clip is read.
    }
  }

  const fileOf = (key: string) => join(directory, `${key.slice(0, 40)}.json`);

  async function read(clip: ClipFile, key: string, told: (progress: Progress) => void, signal: AbortSignal) {
    const before = await kept(key);
    if (before !== null) return before;
    const fingerprint = await limit(false, signal, () => hashOf(clip, told, signal));
    remembered.set(key, fingerprint);
    await mkdir(directory, { recursive: true })
      .then(() => writeAtomically(fileOf(key), JSON.stringify({ fingerprint })))
      .catch(() => undefined);
    return fingerprint;
  }

  function started(clip: ClipFile, key: string): Reading {
    const watchers = new Set<(progress: Progress) => void>();
    const told = (progress: Progress) => {
      for (const watch of watchers) watch(progress);
    };
    const work = shareWork(async (signal) => {
      try {
        return await read(clip, key, told, signal);
      } finally {
        if (readings.get(key) === reading) readings.delete(key);
      }
    });
    const reading: Reading = { work, watchers };
    readings.set(key, reading);
    return reading;
  }

  return {
    async of(clip, options) {
      if (options?.signal?.aborted) throw cancelled();
      const key = keyOf(clip.path, await stampFor(clip));
      const here = remembered.get(key);
      if (here !== undefined) return here;
      const now = readings.get(key);
      const reading = now === undefined || now.work.abandoned ? started(clip, key) : now;
      if (options?.onProgress !== undefined) reading.watchers.add(options.onProgress);
      try {
        return await reading.work.join(options?.signal);
      } finally {
        if (options?.onProgress !== undefined) reading.watchers.delete(options.onProgress);
      }
    },
    async known(clip) {
      const stamp = await stampOf(clip.path).catch(() => null);
      return stamp === null || !isOfEntry(stamp, clip) ? null : kept(keyOf(clip.path, stamp));
    },
  };
}

function keyOf(path: string, stamp: FileStamp): string {
  return createHash("sha256")
    .update(JSON.stringify([path, stamp.text]))
    .digest("hex");
}

/**
 * The stamp of the file, if it is what the caller speaks of.
 * @throws FaultError clip-changing, clip-missing, clip-unreadable
 */
async function stampFor(clip: ClipFile): Promise<FileStamp> {
  const stamp = await stampOf(clip.path).catch((error: unknown) => {
    throw readingFault(clip.path, error);
  });
  if (!isOfEntry(stamp, clip)) throw clipChanging(basename(clip.path));
  return stamp;
}

/**
 * Reads a file from its first byte to its last; nothing is given of one that is not the
 * same file before and after.
 */
async function hashOf(
  clip: ClipFile,
  told: (progress: Progress) => void,
  signal: AbortSignal,
): Promise<string> {
  const name = basename(clip.path);
  const before = await stampFor(clip);
  const hash = createHash("sha256");
  const chunk = Buffer.alloc(Math.max(1, Math.min(CHUNK_BYTES, before.bytes)));
  try {
    const file = await fs.open(clip.path, "r");
    try {
      for (let at = 0; ; ) {
        if (signal.aborted) throw cancelled();
        const { bytesRead } = await file.read(chunk, 0, chunk.length, at);
        if (bytesRead === 0) break;
        hash.update(chunk.subarray(0, bytesRead));
        at += bytesRead;
        told({ fraction: Math.min(1, at / before.bytes), doing: `Reading all of ${name}` });
      }
      if ((await stampOfOpen(file)).text !== before.text) throw clipChanging(name);
    } finally {
      await file.close();
    }
    // The path may lead to another file by now, though this one never changed.
    if ((await stampFor(clip)).text !== before.text) throw clipChanging(name);
  } catch (error) {
    if (isSystemError(error)) throw readingFault(clip.path, error);
    throw error;
  }
  return `sha256-${hash.digest("hex")}`;
}

function isSystemError(error: unknown): boolean {
  return typeof (error as NodeJS.ErrnoException | null)?.syscall === "string";
}

async function touch(file: string): Promise<void> {
  const { mtimeMs } = await fs.stat(file);
  const now = Date.now();
  // Only the order of eviction depends on it.
  if (now - mtimeMs > TOUCH_EVERY_MS) await utimes(file, new Date(now), new Date(now)).catch(() => undefined);
}
