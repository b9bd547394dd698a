import { link, lstat, open, rename, rm, statfs } from "node:fs/promises";
import { extname, join } from "node:path";
import { isClipName } from "../../shared/api/clip-names.ts";
import type { AddedClip } from "../../shared/api/job-contract.ts";
import { FaultError } from "../../shared/quantity/notice.ts";
import { syncDirectory } from "./atomic-write.ts";
import { mustBeClipName } from "./clip-name.ts";
import { diskCode, diskFault } from "./disk-fault.ts";
import { withFolderLock } from "./folder-lock.ts";
import { sameContent } from "./same-content.ts";
import { temporaryName } from "./temporary-name.ts";

/** A clip on its way into a field folder. */
export interface IncomingClip {
  /** A plain file name, as the person knows it. */
  readonly name: string;
  readonly bytes: number;
  /** When the file was last changed, ms since 1970; shots are put in the order they were filmed by it. */
  readonly modifiedMs: number;
}

export interface AddClipWork {
  readonly signal: AbortSignal;
  /** Told how many bytes are there. */
  readonly onBytes?: (bytes: number) => void;
}

/** What tests put in place of the system. */
export interface AddClipSystem {
  /** Bytes that the disk of a folder has left for this person. */
  readonly freeBytes: (folder: string) => Promise<number>;
  /** Gives a file a second name. @throws EEXIST where there is one, other codes where the disk cannot */
  readonly link: (from: string, to: string) => Promise<void>;
  readonly platform: string;
}

const system: AddClipSystem = { freeBytes, link, platform: process.platform };

const KEPT_FREE_BYTES = 64e6; // so that the session and its history can still be saved

/**
 * Refuses what cannot become a clip of the folder, before any of it is copied or sent.
 * @throws FaultError "bad-clip-name", "not-a-video", "clip-empty" or "disk-full"
 */
export async function mustTakeClip(
  folder: string,
  { name, bytes }: IncomingClip,
  { freeBytes, platform }: AddClipSystem = system,
): Promise<void> {
  mustBeClipName(name, platform);
  if (!isClipName(name)) throw noClip(name);
  if (bytes === 0) {
    throw new FaultError(
      "clip-empty",
      `${name} is empty: it has no bytes.`,
      "Copy it from the camera again.",
    );
  }
  const free = await freeBytes(folder).catch((error: unknown) => {
    throw diskFault(error, "The field folder cannot be used");
  });
  if (bytes + KEPT_FREE_BYTES > free) throw noRoom(name, bytes, free);
}

/**
 * Puts a clip into a folder, whole or not at all: it is written under a hidden name, flushed, and then given
 * its own. No file is ever replaced: where another has the name, the clip is called "NAME (2).mp4" and so
 * on; where one of these names has the very content, nothing is added. A process that is killed leaves a
 * file that `sweepLeftovers` knows.
 * @param folder a real path
 * @param content the bytes, read to their end or until the work is stopped
 * @throws FaultError as `mustTakeClip`, "clip-cut-off", or what the disk says; what reading the content
 *   throws; the signal's reason
 */
export async function addClip(
  folder: string,
  clip: IncomingClip,
  content: AsyncIterable<Uint8Array>,
  work: AddClipWork,
  parts: AddClipSystem = system,
): Promise<AddedClip> {
  await mustTakeClip(folder, clip, parts);
  const temporary = join(folder, temporaryName(clip.name));
  try {
    await writeAll(temporary, clip, content, work);
    return await givenName(folder, clip.name, temporary, work.signal, parts);
  } catch (error) {
    throw diskFault(error, `${clip.name} could not be added to the folder`);
  } finally {
    await rm(temporary, { force: true }).catch(() => {}); // swept later
  }
}

async function writeAll(
  path: string,
  { name, bytes, modifiedMs }: IncomingClip,
  content: AsyncIterable<Uint8Array>,
  { signal, onBytes }: AddClipWork,
): Promise<void> {
  const file = await open(path, "wx");
  try {
    let written = 0;
    for await (const piece of untilStopped(content, signal)) {
      written += piece.byteLength;
      if (written > bytes) break;
      await file.writeFile(piece); // each goes behind the one before
      onBytes?.(written);
    }
    if (written !== bytes) throw cutOff(name, written > bytes);
    const at = new Date(modifiedMs);
    if (!Number.isNaN(at.getTime())) await file.utimes(at, at);
    await file.sync();
  } finally {
    await file.close();
  }
}

/** The pieces of a content; stopped at once, whether or not the next piece ever comes. */
async function* untilStopped(
  content: AsyncIterable<Uint8Array>,
  signal: AbortSignal,
): AsyncGenerator<Uint8Array> {
  signal.throwIfAborted();
  const pieces = content[Symbol.asyncIterator]();
  let stop: () => void = () => {};
  const stopped = new Promise<never>((_, reject) => {
    stop = () => reject(signal.reason);
    signal.addEventListener("abort", stop, { once: true });
  });
  stopped.catch(() => {});
  try {
    for (;;) {
      const next = pieces.next();
      next.catch(() => {}); // nobody may wait for it any more
      const { done, value } = await Promise.race([next, stopped]);
      if (done === true) return;
      yield value;
    }
  } finally {
    signal.removeEventListener("abort", stop);
    void pieces.return?.()?.catch(() => {});
  }
}

/** Gives what was written the first name that is free, or finds it there under one. */
async function givenName(
  folder: string,
  name: string,
  temporary: string,
  signal: AbortSignal,
  parts: AddClipSystem,
): Promise<AddedClip> {
  for (let count = 1; ; count++) {
    signal.throwIfAborted();
    const one = count === 1 ? name : numbered(name, count);
    const target = join(folder, one);
    if (await putInPlace(folder, temporary, target, parts.link)) {
      await syncDirectory(folder);
      return { name: one, copied: true };
    }
    if (await sameContent(temporary, target, signal)) return { name: one, copied: false };
  }
}

/** @returns false when there is something of that name, which is left as it is */
async function putInPlace(
  folder: string,
  temporary: string,
  target: string,
  link: AddClipSystem["link"],
): Promise<boolean> {
  try {
    await link(temporary, target); // unlike a rename it never replaces a file
    return true;
  } catch (error) {
    const code = diskCode(error);
    if (code === "EEXIST") return false;
    if (code === null || ["ENOSPC", "EDQUOT", "EROFS", "EACCES", "EIO"].includes(code)) throw error;
  }
  // Cards and some network drives know no second names. Under the lock no other Loftmark comes between.
  return withFolderLock(folder, async () => {
    if (await isThere(target)) return false;
    await rename(temporary, target);
    return true;
  });
}

async function isThere(path: string): Promise<boolean> {
  return lstat(path).then(
    () => true,
    (error: NodeJS.ErrnoException) => {
      if (error.code === "ENOENT") return false;
      throw error;
    },
  );
}

function numbered(name: string, count: number): string {
  const ending = extname(name);
  return `${name.slice(0, name.length - ending.length)} (${count})${ending}`;
}

/** Infinity where the disk does not say. */
async function freeBytes(folder: string): Promise<number> {
  const { blocks, bavail, bsize } = await statfs(folder);
  return blocks === 0 ? Number.POSITIVE_INFINITY : bavail * bsize;
}

function noClip(name: string): FaultError {
  return new FaultError(
    "not-a-video",
    `${name} is not a clip: its name ends like no video that Loftmark opens.`,
    "Drop clips as a camera writes them, such as .mp4, .mov, .avi or .mts.",
  );
}

function noRoom(name: string, bytes: number, free: number): FaultError {
  const keeps =
    free > KEPT_FREE_BYTES ? `, of which ${sizeOf(KEPT_FREE_BYTES)} are kept for the session` : "";
  return new FaultError(
    "disk-full",
    `There is no room for ${name}: it has ${sizeOf(bytes)}, and the folder's disk has ${sizeOf(free)} left${keeps}.`,
    "Make room on the disk, then drop the clip again.",
  );
}

function cutOff(name: string, tooLong: boolean): FaultError {
  return new FaultError(
    "clip-cut-off",
    tooLong
      ? `${name} grew while it was copied, so nothing was added.`
      : `${name} did not arrive whole, so nothing was added.`,
    "Wait until nothing writes to it any more, then drop it again.",
  );
}

function sizeOf(bytes: number): string {
  const mb = bytes / 1e6;
  return mb < 1000 ? `${mb < 10 ? mb.toFixed(1) : Math.floor(mb)} MB` : `${(mb / 1000).toFixed(1)} GB`;
}
