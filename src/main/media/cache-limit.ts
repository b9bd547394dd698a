import { randomUUID } from "node:crypto";
import { mkdir, readdir, rename, rm, stat } from "node:fs/promises";
import { join } from "node:path";

/** Keeps what lies under the cache folder below a total size; the longest unused goes first. */
export interface CacheLimit {
  /** To be told of every new entry. Gives the entries that were removed to make room, never the new one. */
  added(entry: string, bytes: number): Promise<readonly string[]>;
  /** Removes one entry: it vanishes by a rename first, so that no reader finds half of it. */
  remove(entry: string): Promise<void>;
}

interface Entry {
  readonly path: string;
  readonly bytes: number;
  readonly usedMs: number;
}

const ROOM = 0.9; // Down to this part of the limit, so that not every new pack has to look for room again.
const LEFTOVER_MS = 24 * 3600_000; // No extraction lasts a day: an older folder of that kind was left by a crash.

export function createCacheLimit(cacheDir: string, limitBytes: number, now: () => number): CacheLimit {
  let totalBytes: number | null = null;

  async function remove(path: string): Promise<void> {
    const trash = join(cacheDir, `trash-${randomUUID()}`);
    try {
      await mkdir(cacheDir, { recursive: true });
      await rename(path, trash);
      await rm(trash, { recursive: true, force: true });
    } catch {
      // Gone already, or held open by another program: the next look at the total finds it again.
    }
  }

  return {
    remove,
    async added(entry, bytes) {
      if (totalBytes !== null && totalBytes + bytes <= limitBytes) {
        totalBytes += bytes;
        return [];
      }
      if (totalBytes === null) await sweep(cacheDir, now());
      const entries = await listEntries(cacheDir);
      totalBytes = entries.reduce((sum, one) => sum + one.bytes, 0);
      if (totalBytes <= limitBytes) return [];
      const removed: string[] = [];
      for (const one of entries.sort((a, b) => a.usedMs - b.usedMs)) {
        if (totalBytes <= ROOM * limitBytes) break;
        if (one.path === entry) continue;
        await remove(one.path);
        totalBytes -= one.bytes;
        removed.push(one.path);
      }
      return removed;
    },
  };
}

/** Every pack or other derived thing: the entries of each clip's folder. */
async function listEntries(cacheDir: string): Promise<Entry[]> {
  const entries: Entry[] = [];
  for (const clip of await names(cacheDir)) {
    if (/^(making|trash)-/.test(clip)) continue;
    for (const name of await names(join(cacheDir, clip))) {
      const path = join(cacheDir, clip, name);
      const state = await stat(path).catch(() => null);
      if (state === null) continue;
      entries.push({
        path,
        bytes: await sizeOf(path, state.isDirectory(), state.size),
        usedMs: state.mtimeMs,
      });
    }
  }
  return entries;
}

async function sizeOf(path: string, isFolder: boolean, bytes: number): Promise<number> {
  if (!isFolder) return bytes;
  const files = await names(path);
  const sizes = await Promise.all(
    files.map((file) =>
      stat(join(path, file)).then(
        (state) => state.size,
        () => 0,
      ),
    ),
  );
  return sizes.reduce((sum, size) => sum + size, 0);
}

/** Clears what a crash left half made or half deleted. */
async function sweep(cacheDir: string, nowMs: number): Promise<void> {
  for (const name of await names(cacheDir)) {
    if (!/^(making|trash)-/.test(name)) continue;
    const path = join(cacheDir, name);
    const state = await stat(path).catch(() => null);
    if (state === null || nowMs - state.mtimeMs < LEFTOVER_MS) continue;
    await rm(path, { recursive: true, force: true }).catch(() => undefined);
  }
}

async function names(folder: string): Promise<string[]> {
  return readdir(folder).catch(() => []);
}
