import { randomUUID } from "node:crypto";
import { mkdir, readdir, rename, rm, stat } from "node:fs/promises";
import { basename, join } from "node:path";
import { isPassing } from "./leftovers.ts";

/**
 * Keeps what lies under the cache folder below a total size. Planes to follow through go first, being large
 * and seldom asked for again; of them, and then of all else, the longest unused.
 */
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

export function createCacheLimit(cacheDir: string, limitBytes: number): CacheLimit {
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
      const { entries, passingBytes } = await listCache(cacheDir);
      totalBytes = entries.reduce((sum, one) => sum + one.bytes, passingBytes);
      if (totalBytes <= limitBytes) return [];
      const removed: string[] = [];
      for (const one of entries.sort(soonestToGo)) {
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

function soonestToGo(a: Entry, b: Entry): number {
  const planesFirst = Number(isPlanes(b)) - Number(isPlanes(a));
  return planesFirst === 0 ? a.usedMs - b.usedMs : planesFirst;
}

function isPlanes({ path }: Entry): boolean {
  return basename(path).startsWith("grey-");
}

/**
 * Every pack or other derived thing, and the bytes of what is being made or taken away,
 * which count and are let be.
 */
async function listCache(
  cacheDir: string,
): Promise<{ readonly entries: Entry[]; readonly passingBytes: number }> {
  const entries: Entry[] = [];
  let passingBytes = 0;
  for (const top of await names(cacheDir)) {
    if (isPassing(top)) {
      passingBytes += await bytesIn(join(cacheDir, top));
      continue;
    }
    for (const name of await names(join(cacheDir, top))) {
      const path = join(cacheDir, top, name);
      const state = await stat(path).catch(() => null);
      if (state === null) continue;
      const bytes = state.isDirectory() ? await bytesIn(path) : state.size;
      entries.push({ path, bytes, usedMs: state.mtimeMs });
    }
  }
  return { entries, passingBytes };
}

async function bytesIn(folder: string): Promise<number> {
  const sizes = await Promise.all(
    (await names(folder)).map((file) =>
      stat(join(folder, file)).then(
        (state) => state.size,
        () => 0,
      ),
    ),
  );
  return sizes.reduce((sum, size) => sum + size, 0);
}

async function names(folder: string): Promise<string[]> {
  return readdir(folder).catch(() => []);
}
