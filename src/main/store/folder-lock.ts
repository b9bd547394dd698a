import { AsyncLocalStorage } from "node:async_hooks";
import { randomBytes } from "node:crypto";
import {
  lstat,
  mkdir,
  open,
  readdir,
  readFile,
  realpath,
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
import { diskFault } from "./disk-fault.ts";
import { readOnlyFault } from "./folder-access.ts";
import { folderGone } from "./folder-identity.ts";
import { ownMark, type ProcessMark, presenceOf } from "./process-mark.ts";
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

const LOCK = ".loftmark.lock";
const OWNER_FILE = /^[0-9a-f]{16}\.json$/;
const CLAIM_TRIES = 5;

const WAIT_MS = 15_000; // a save takes well under a second, on a slow card a few
const REFRESH_MS = 5_000;
const STALE_MS = 60_000; // twelve refreshes missed
// a machine that slept refreshes as soon as it wakes, so an old owner is looked at twice
const CONFIRM_MS = 2_000;

/** Time as the lock needs it; tests bring their own. */
export interface LockClock {
  /** Monotonic, ms. */
  nowMs(): number;
  sleep(ms: number): Promise<void>;
  /** Calls again and again until stopped. @returns stop */
  every(ms: number, run: () => void): () => void;
}

export interface FolderLockOptions {
  /** How long to wait for another program, ms. */
  readonly waitMs?: number;
  readonly clock?: LockClock;
  /** Ends the wait. */
  readonly signal?: AbortSignal;
  /** By default this process. */
  readonly mark?: ProcessMark;
}

/** An owner as found in the lock; `mark` is null when its file cannot be read, e.g. after a power cut. */
interface Owner {
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

const systemClock: LockClock = {
  nowMs: () => performance.now(),
  sleep: (ms) => new Promise((resolve) => setTimeout(resolve, ms)),
  every(ms, run) {
    const timer = setInterval(run, ms);
    timer.unref();
    return () => clearInterval(timer);
  },
};

const queues = new Map<string, Promise<void>>();
const held = new AsyncLocalStorage<readonly string[]>();

/**
 * Runs something while no other call, of this process or of another, runs for the same folder. Calls of one
 * process run in the order of asking. The lock of a process that is gone is broken at once; that of another
 * machine, or one whose owner cannot be known, when it was not refreshed for a minute.
 * @param folder the path of a folder that exists; links are resolved, so two paths of one folder are one lock
 * @returns what `run` gives; nothing is left in the folder afterwards
 * @throws FaultError "folder-busy" when another program holds it for longer than the wait, naming that
 *   program; "folder-gone"; "lock-lost" when it was taken away while `run` ran, so that what it did
 *   may not count; disk faults
 * @throws RangeError when `run` itself asks for the lock it runs under: it would wait for itself
 */
export async function withFolderLock<T>(
  folder: string,
  run: () => Promise<T>,
  options: FolderLockOptions = {},
): Promise<T> {
  const path = await realpath(folder).catch((error: unknown) => {
    throw isCode(error, "ENOENT", "ENOTDIR") ? folderGone(basename(folder)) : diskFault(error, CANNOT_LOCK);
  });
  const outer = held.getStore() ?? [];
  if (outer.includes(path)) throw new RangeError(`withFolderLock: called within its own run, for ${path}`);
  return inTurn(path, () => held.run([...outer, path], () => runLocked(path, run, options)));
}

/**
 * Clears away a lock whose owner is gone, so that a folder does not keep it until the next save. Leaves a
 * lock that somebody has, or of which nothing is known, and waits for nobody.
 */
export async function clearLeftLock(folder: string): Promise<void> {
  const lock = join(folder, LOCK);
  const owner = await ownerOf(lock);
  if (owner?.mark != null && presenceOf(owner.mark) === "gone") await free(lock, owner.file);
}

const CANNOT_LOCK = "The folder could not be locked for writing";

/** Runs after all that was asked before for the same key in this process. */
async function inTurn<T>(key: string, run: () => Promise<T>): Promise<T> {
  const turn = (queues.get(key) ?? Promise.resolve()).then(run);
  const done = turn.then(
    () => {},
    () => {}, // The caller gets the failure; the next in the queue only waits for the end.
  );
  queues.set(key, done);
  try {
    return await turn;
  } finally {
    if (queues.get(key) === done) queues.delete(key);
  }
}

async function runLocked<T>(folder: string, run: () => Promise<T>, options: FolderLockOptions): Promise<T> {
  const clock = options.clock ?? systemClock;
  const lock = join(folder, LOCK);
  const owner = await take(folder, lock, clock, options);
  // lost: release says so
  const stop = clock.every(REFRESH_MS, () => void refresh(join(lock, owner)).catch(() => {}));
  let result: T;
  try {
    result = await run();
  } catch (error) {
    // The first failure is the one to tell; a lock that could not be released is this
    // process's, which others see.
    await release(lock, owner).catch(() => {});
    throw error;
  } finally {
    stop();
  }
  await release(lock, owner);
  return result;
}

/** Waits for the lock and takes it. @returns the name of the owner file in it */
async function take(
  folder: string,
  lock: string,
  clock: LockClock,
  options: FolderLockOptions,
): Promise<string> {
  const waitMs = options.waitMs ?? WAIT_MS;
  const startedMs = clock.nowMs();
  const mark = options.mark ?? ownMark();
  let suspect: Suspect | null = null;
  let claim = await makeClaim(folder, mark);
  let claims = 1;
  try {
    for (let attempt = 0; ; attempt++) {
      options.signal?.throwIfAborted();
      const refused = await renameOverLock(claim.path, lock);
      if (refused === null) return claim.owner;
      if (isCode(refused, "ENOENT")) {
        // Somebody tidied up; or the folder itself is gone, which making the next claim says.
        if (++claims > CLAIM_TRIES) throw refused;
        claim = await makeClaim(folder, mark);
        continue;
      }
      const owner = await ownerOf(lock);
      if (owner !== null) {
        const judged = await judge(owner, suspect, join(claim.path, claim.owner), clock);
        if (judged === "gone") {
          await free(lock, owner.file);
          continue;
        }
        suspect = judged;
      }
      if (clock.nowMs() - startedMs >= waitMs)
        throw owner === null && !isHeld(refused) ? refused : busy(owner);
      await clock.sleep(pauseMs(attempt));
    }
  } catch (error) {
    // swept later; the first failure counts
    await rm(claim.path, { recursive: true, force: true }).catch(() => {});
    throw diskFault(error, CANNOT_LOCK);
  }
}

/** An owner that looks gone, and since when it has looked so without a sign of life. */
interface Suspect {
  readonly owner: Owner;
  readonly sinceMs: number;
}

/**
 * Whether the lock's owner is gone, may be, or (null) is there.
 * @param claimFile refreshed, to read the folder's own clock
 */
async function judge(
  owner: Owner,
  suspect: Suspect | null,
  claimFile: string,
  clock: LockClock,
): Promise<"gone" | Suspect | null> {
  const presence = owner.mark === null ? "unknown" : presenceOf(owner.mark);
  if (presence === "gone") return "gone";
  if (presence !== "unknown" || !((await refresh(claimFile)) - owner.refreshedMs > STALE_MS)) return null;
  const same = suspect?.owner.file === owner.file && suspect.owner.refreshedMs === owner.refreshedMs;
  if (!same || suspect === null) return { owner, sinceMs: clock.nowMs() };
  return clock.nowMs() - suspect.sinceMs >= CONFIRM_MS ? "gone" : suspect;
}

/**
 * Makes the owner's file in a hidden folder of its own beside the lock, named so that it
 * can be swept if left over.
 */
async function makeClaim(folder: string, mark: ProcessMark): Promise<{ path: string; owner: string }> {
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
async function renameOverLock(claim: string, lock: string): Promise<unknown> {
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
async function ownerOf(lock: string): Promise<Owner | null> {
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
async function free(lock: string, owner: string): Promise<boolean> {
  try {
    await unlink(join(lock, owner));
  } catch (error) {
    if (isCode(error, "ENOENT", "ENOTDIR")) return false;
    throw error;
  }
  await removeIfEmpty(lock);
  return true;
}

async function release(lock: string, owner: string): Promise<void> {
  try {
    if (await free(lock, owner)) return;
  } catch (error) {
    throw diskFault(error, "The folder could not be unlocked");
  }
  throw new FaultError(
    "lock-lost",
    "Another program took over the folder while Loftmark was writing, because it seemed to have stopped.",
    "Close the other program, reload, and see whether your last change is there.",
  );
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
async function refresh(path: string): Promise<number> {
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

/**
 * Short at first, because most holders need milliseconds; uneven, so that waiters do
 * not meet again and again.
 */
function pauseMs(attempt: number): number {
  return Math.min(5 * 1.5 ** attempt, 100) * (0.5 + Math.random());
}

function isHeld(error: unknown): boolean {
  return isCode(error, "ENOTEMPTY", "EEXIST");
}

function isCode(error: unknown, ...codes: readonly string[]): boolean {
  return codes.includes((error as NodeJS.ErrnoException | null)?.code ?? "");
}

function busy(owner: Owner | null): FaultError {
  const mark = owner?.mark ?? null;
  const here = mark !== null && mark.host === ownMark().host ? "this machine" : `the machine "${mark?.host}"`;
  return new FaultError(
    "folder-busy",
    mark === null
      ? "Another program is writing into this folder, and does not say which it is."
      : `Another program is writing into this folder: process ${mark.pid} on ${here}.`,
    "Wait until it is done, or close it, then try again.",
  );
}

function inTheWay(): FaultError {
  return new FaultError(
    "folder-busy",
    `Something that Loftmark did not make is called ${LOCK} in this folder, so the folder cannot be locked.`,
    `Move ${LOCK} out of the folder (it may be hidden), then try again.`,
  );
}
