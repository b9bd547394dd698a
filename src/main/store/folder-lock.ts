import { AsyncLocalStorage } from "node:async_hooks";
import { realpath, rm } from "node:fs/promises";
import { basename, join } from "node:path";
import { FaultError } from "../../shared/quantity/notice.ts";
import { diskFault } from "./disk-fault.ts";
import { folderGone } from "./folder-identity.ts";
import {
  free,
  isCode,
  isHeld,
  LOCK,
  makeClaim,
  type Owner,
  ownerOf,
  refresh,
  renameOverLock,
} from "./lock-on-disk.ts";
import { ownMark, type ProcessMark, presenceOf } from "./process-mark.ts";

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
 * Short at first, because most holders need milliseconds; uneven, so that waiters do
 * not meet again and again.
 */
function pauseMs(attempt: number): number {
  return Math.min(5 * 1.5 ** attempt, 100) * (0.5 + Math.random());
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
