import { readdir, realpath, rm, rmdir, stat } from "node:fs/promises";
import { join } from "node:path";
import { isRunning, makerOf } from "./maker.ts";
import { endRunning } from "./running-program.ts";

// No work lasts a day: an older folder whose name says nobody's was left by a crash.
const NAMELESS_MS = 24 * 3600_000;
const PASSING = /^(making|trash|cells)-/;
const CLIP_KEY = /^[0-9a-f]{32}$/;

/**
 * Whether a name directly under the cache folder is of something being made or taken
 * away, not of a clip's frames.
 */
export function isPassing(name: string): boolean {
  return PASSING.test(name);
}

/**
 * Clears what processes that are gone left in the cache folder: what they were making, programs that
 * still work at it, what they were taking away, and folders with nothing in them. What another running
 * process makes is left alone.
 */
export async function clearLeftovers(cacheDir: string, nowMs: number): Promise<void> {
  const root = await realpath(cacheDir).catch(() => null);
  if (root === null) return;
  for (const name of await readdir(root).catch(() => [])) {
    const path = join(root, name);
    if (CLIP_KEY.test(name))
      await rmdir(path).catch(() => undefined); // only an empty folder goes
    else if (!isPassing(name)) continue;
    else if (await isLeft(path, name, nowMs)) {
      await endRunning(path);
      // the next start tries again
      await rm(path, { recursive: true, force: true, maxRetries: 3 }).catch(() => undefined);
    }
  }
}

async function isLeft(path: string, name: string, nowMs: number): Promise<boolean> {
  if (name.startsWith("trash-")) return true;
  const maker = makerOf(name);
  if (maker !== null && !isRunning(maker)) return true;
  const state = await stat(path).catch(() => null);
  return state !== null && nowMs - state.mtimeMs > NAMELESS_MS;
}
