import { randomBytes } from "node:crypto";
import {
  lstat,
  mkdir,
  open,
  readdir,
  readFile,
  rename,
  rm,
  rmdir,
  stat,
  unlink,
  writeFile,
} from "node:fs/promises";
import { basename, join } from "node:path";
import { z } from "zod";
import { FaultError } from "../../shared/quantity/notice.ts";
import { readOnlyFault } from "./folder-access.ts";
import { folderGone } from "./folder-identity.ts";
import type { ProcessMark } from "./process-mark.ts";
import { isSystemFile } from "./system-file.ts";
import { temporaryName } from "./temporary-name.ts";

/*
 * The lock of a folder is the hidden folder `.loftmark.lock` in it, holding one file: the
 * owner, named by a nonce.
 *
 *   take     Write the owner into a folder of one's own beside the lock, then rename that folder to the
 *            lock. Every system refuses to rename a folder over one that is not empty, so whoever renames
 *            first has the lock, and the owner is in it from the first moment: a process killed anywhere
 *            leaves either nothing or its name.
 *   release  Delete the owner by its name, then the empty folder.
 *   break    The same two deletions, by the name of the owner that was found gone.
 *
 * Why no interleaving lets two have it: the lock is held exactly while an owner's file is in it. A file gets
 * in only by the rename, which needs the lock to be missing or empty, so there is never more than one. A file
 * gets out only by being deleted by its own name. A breaker that comes too late, when the owner it found gone
 * was removed and another took the lock, asks to delete a name that is not there any more, and removes no
 * folder, because that folder is not empty. So a breaker can free the lock of nobody but the owner it judged,
 * and breakers need no order among themselves.
 *
 * Folders and renames are used because camera cards are exFAT, which has no hard links, and because a
 * lock file made with "wx" has a moment in which it names nobody: a process killed then would stop
 * everybody until its file is old.
 */

export const LOCK = ".loftmark.lock";
const OWNER_FILE = /^[0-9a-f]{16}\.json$/;
/** An owner as found in the lock; `mark` is null when its file cannot be read, e.g. after a power cut. */
export interface Owner {
  readonly file: string;
  readonly mark: ProcessMark | null;
  readonly refreshedMs: number;
}

const MarkSchema: z.ZodType<ProcessMark> = z.object({
  pid: z.int().positive(),
  host: z.string().max(253),
  space: z.string(),
  started: z.string().nullable(),
});

/**
 * Makes the owner's file in a hidden folder of its own beside the lock, named so that it
 * can be swept if left over.
 */
export async function makeClaim(folder: string, mark: ProcessMark): Promise<{ path: string; owner: string }> {
  const nonce = randomBytes(8).toString("hex");
  const path = join(folder, temporaryName(LOCK, mark));
  const owner = `${nonce}.json`;
  try {
    await mkdir(path);
  } catch (error) {
    throw isCode(error, "ENOENT") ? folderGone(basename(folder)) : readOnlyFault(error, basename(folder));
  }
  await writeFile(join(path, owner), `${JSON.stringify(mark)}\n`, { flag: "wx" });
  return { path, owner };
}

/** @returns null when the lock was taken, or what the system said */
export async function renameOverLock(claim: string, lock: string): Promise<unknown> {
  try {
    await rename(claim, lock);
    return null;
  } catch (error) {
    if (isHeld(error) || isCode(error, "ENOENT")) return error;
    const there = await lstat(lock).catch(() => null);
    if (there !== null && !there.isDirectory()) throw inTheWay();
    // Windows also says so of a folder that is there, and of one that a virus scanner is reading.
    if (isCode(error, "EPERM", "EACCES", "EBUSY")) return error;
    throw error;
  }
}

/**
 * Who has the lock; null when nobody has. An empty folder is removed: Windows renames
 * over none, empty or not.
 */
export async function ownerOf(lock: string): Promise<Owner | null> {
  try {
    const names = await readdir(lock);
    const file = names.find((name) => OWNER_FILE.test(name));
    if (file !== undefined) {
      const path = join(lock, file);
      const [text, stats] = [await readFile(path, "utf8"), await stat(path)];
      return { file, mark: parsedMark(text), refreshedMs: stats.mtimeMs };
    }
    if (!names.every(isSystemFile)) throw inTheWay();
    for (const name of names) await rm(join(lock, name), { force: true });
    await removeIfEmpty(lock);
    return null;
  } catch (error) {
    if (isCode(error, "ENOENT")) return null; // released meanwhile
    throw isCode(error, "ENOTDIR") ? inTheWay() : error;
  }
}

/** Frees the lock of one owner and of no other. @returns false when that owner did not have it any more */
export async function free(lock: string, owner: string): Promise<boolean> {
  try {
    await unlink(join(lock, owner));
  } catch (error) {
    if (isCode(error, "ENOENT", "ENOTDIR")) return false;
    throw error;
  }
  await removeIfEmpty(lock);
  return true;
}

/**
 * An empty lock is free, so a failure here costs nothing; the next to take it removes it or renames over it.
 */
async function removeIfEmpty(lock: string): Promise<void> {
  await rmdir(lock).catch(() => {});
}

/**
 * Writes the last byte of an owner's file again, so that its time of change is now by the clock of the disk,
 * which may be another machine's. Never makes a file that is not there.
 * @returns that time, ms
 */
export async function refresh(path: string): Promise<number> {
  const file = await open(path, "r+");
  try {
    const { size } = await file.stat();
    await file.write("\n", Math.max(0, size - 1));
    return (await file.stat()).mtimeMs;
  } finally {
    await file.close();
  }
}

function parsedMark(text: string): ProcessMark | null {
  try {
    return MarkSchema.parse(JSON.parse(text));
  } catch {
    return null; // Cut short by a power cut: then only its age counts.
  }
}

/** Whether the system said that another has the lock. */
export function isHeld(error: unknown): boolean {
  return isCode(error, "ENOTEMPTY", "EEXIST");
}

/** Whether a failure of the file system has one of these codes. */
export function isCode(error: unknown, ...codes: readonly string[]): boolean {
  return codes.includes((error as NodeJS.ErrnoException | null)?.code ?? "");
}

function inTheWay(): FaultError {
  return new FaultError(
    "folder-busy",
    `Something that Loftmark did not make is called ${LOCK} in this folder, so the folder cannot be locked.`,
    `Move ${LOCK} out of the folder (it may be hidden), then try again.`,
  );
}
