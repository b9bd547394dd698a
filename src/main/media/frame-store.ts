import { randomUUID } from "node:crypto";
import {
  access,
  mkdir,
  open,
  readdir,
  readFile,
  rename,
  rm,
  rmdir,
  utimes,
  writeFile,
} from "node:fs/promises";
import { join } from "node:path";
import { z } from "zod";
import { adler32 } from "./adler32.ts";
import { createCacheLimit } from "./cache-limit.ts";
import { clearLeftovers } from "./leftovers.ts";
import { folderNameOf, THIS_MAKER } from "./maker.ts";
import type { FrameSize } from "./media.ts";
import { cacheFault } from "./media-faults.ts";

/** The pictures of a run of frames one after the other, and the index that tells where each lies. */
export const PACK_FILE = "frames.mjpeg";

/** What a pack holds: JPEGs of either size to look at, or the luma planes that are followed through. */
export type PackKind = FrameSize | "grey";
const KINDS: readonly PackKind[] = ["full", "half", "grey"];
const INDEX_FILE = "index.json";

const PackIndexSchema = z.strictObject({
  bytes: z.array(z.int().positive()).describe("size of each frame's picture, in order"),
  checksums: z.array(z.int().nonnegative()).describe("Adler-32 of each, begun at 0"),
});
export type PackIndex = Readonly<z.infer<typeof PackIndexSchema>>;

interface Pack {
  readonly folder: string;
  readonly from: number;
  readonly count: number;
  index: PackIndex | null;
  touchedMs: number;
}

/**
 * The frames of all clips on disk: cacheDir/<clip key>/<kind>-<first frame>-<count>/ holds one pack. A
 * pack is made in a folder of another name and appears by one rename, so a pack that is there is
 * whole; what a crash or a bad disk did to it afterwards is found by size and checksum on every read,
 * and such a pack is thrown away.
 */
export interface FrameStore {
  readonly cacheDir: string;
  /** Tells which frames are in the cache now. */
  coverage(key: string, size: PackKind): Promise<(frame: number) => boolean>;
  /** A frame's picture, a grey one in memory that threads share; null when it is not soundly in the cache. */
  read(key: string, size: PackKind, frame: number): Promise<Uint8Array | null>;
  /**
   * A fresh empty folder to make a pack in, on the disk of the cache.
   * @throws FaultError disk-full, cache-unwritable
   */
  makeFolder(): Promise<string>;
  /**
   * Turns a made folder with its pack into frames from..from+count-1.
   * @throws FaultError disk-full, cache-unwritable
   */
  publish(made: string, key: string, size: PackKind, from: number, index: PackIndex): Promise<void>;
  /** Where other things derived from a clip may lie; counted and evicted like packs. */
  folderOf(key: string): string;
  /** Tells of such a thing that was put there. */
  counted(path: string, bytes: number): Promise<void>;
  /** Has what lies under one key found under another; what lies there already stays as it is. */
  move(from: string, to: string): Promise<void>;
  /** Clears what processes that are gone left behind. */
  clearLeftovers(): Promise<void>;
}

const TOUCH_EVERY_MS = 60_000;

export function createFrameStore(cacheDir: string, limitBytes: number, now: () => number): FrameStore {
  const packsOf = new Map<string, Promise<Pack[]>>();
  const limit = createCacheLimit(cacheDir, limitBytes);

  function packs(key: string, size: PackKind): Promise<Pack[]> {
    const id = `${key}/${size}`;
    const known = packsOf.get(id) ?? listPacks(join(cacheDir, key), size);
    packsOf.set(id, known);
    return known;
  }

  async function discard(pack: Pack): Promise<void> {
    await forget(packsOf, pack.folder);
    await limit.remove(pack.folder);
  }

  async function touch(pack: Pack): Promise<void> {
    if (now() - pack.touchedMs < TOUCH_EVERY_MS) return;
    pack.touchedMs = now();
    const at = new Date(now());
    await utimes(pack.folder, at, at).catch(() => undefined); // Only the order of eviction depends on it.
  }

  return {
    cacheDir,
    folderOf: (key) => join(cacheDir, key),
    clearLeftovers: () => clearLeftovers(cacheDir, now()),
    async move(from, to) {
      for (const name of await readdir(join(cacheDir, from)).catch(() => [])) {
        const target = join(cacheDir, to, name);
        if (await exists(target)) await limit.remove(join(cacheDir, from, name));
        else await moveInto(join(cacheDir, from, name), join(cacheDir, to), target).catch(() => undefined);
      }
      await rmdir(join(cacheDir, from)).catch(() => undefined);
      // Both are listed afresh when they are asked for next.
      for (const key of [from, to]) for (const size of KINDS) packsOf.delete(`${key}/${size}`);
    },
    async counted(path, bytes) {
      for (const gone of await limit.added(path, bytes)) await forget(packsOf, gone);
    },
    async coverage(key, size) {
      const list = await packs(key, size);
      return (frame) => list.some((pack) => holds(pack, frame));
    },
    async read(key, size, frame) {
      for (;;) {
        const pack = (await packs(key, size)).find((one) => holds(one, frame));
        if (pack === undefined) return null;
        const picture = await readFrom(pack, size, frame);
        if (picture !== null) {
          await touch(pack);
          return picture;
        }
        await discard(pack);
      }
    },
    async makeFolder() {
      try {
        const folder = join(cacheDir, folderNameOf(THIS_MAKER, randomUUID()));
        await mkdir(folder, { recursive: true });
        return folder;
      } catch (error) {
        throw cacheFault(error, cacheDir);
      }
    },
    async publish(made, key, size, from, index) {
      const count = index.bytes.length;
      const folder = join(cacheDir, key, `${size}-${from}-${count}`);
      const list = await packs(key, size);
      try {
        await writeFile(join(made, INDEX_FILE), JSON.stringify(index));
        await putInPlace(made, join(cacheDir, key), folder);
      } catch (error) {
        throw cacheFault(error, cacheDir);
      }
      list.push({ folder, from, count, index: null, touchedMs: now() });
      const bytes = index.bytes.reduce((sum, one) => sum + one, 0);
      for (const gone of await limit.added(folder, bytes)) await forget(packsOf, gone);
    },
  };
}

/** Another program may make the same pack at the same time: whichever comes second is as good, and goes. */
async function putInPlace(made: string, parent: string, folder: string): Promise<void> {
  const isThere = () => exists(join(folder, INDEX_FILE));
  if (!(await isThere())) {
    try {
      return await moveInto(made, parent, folder);
    } catch (error) {
      if (!(await isThere())) throw error;
    }
  }
  await rm(made, { recursive: true, force: true });
}

/**
 * Renames a folder into one that is made when needed, and made again when another program that starts has
 * just cleared it away as empty.
 */
async function moveInto(from: string, parent: string, to: string): Promise<void> {
  await mkdir(parent, { recursive: true });
  try {
    await rename(from, to);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== "ENOENT") throw error;
    await mkdir(parent, { recursive: true });
    await rename(from, to);
  }
}

function exists(path: string): Promise<boolean> {
  return access(path).then(
    () => true,
    () => false,
  );
}

function holds(pack: Pack, frame: number): boolean {
  return frame >= pack.from && frame < pack.from + pack.count;
}

async function listPacks(folder: string, size: PackKind): Promise<Pack[]> {
  const names = await readdir(folder).catch(() => []);
  return names.flatMap((name) => {
    const [, of, from, count] = /^(full|half|grey)-(\d+)-(\d+)$/.exec(name) ?? [];
    if (of !== size) return [];
    const folderOfPack = join(folder, name);
    return [{ folder: folderOfPack, from: Number(from), count: Number(count), index: null, touchedMs: 0 }];
  });
}

/** Null for whatever keeps the frame from being whole: a missing file, a short one, bytes that differ. */
async function readFrom(pack: Pack, kind: PackKind, frame: number): Promise<Uint8Array | null> {
  try {
    pack.index ??= PackIndexSchema.parse(JSON.parse(await readFile(join(pack.folder, INDEX_FILE), "utf8")));
    const { bytes, checksums } = pack.index;
    if (bytes.length !== pack.count || checksums.length !== pack.count) return null;
    const at = frame - pack.from;
    const start = bytes.slice(0, at).reduce((sum, one) => sum + one, 0);
    const length = bytes[at] as number;
    const picture = new Uint8Array(kind === "grey" ? new SharedArrayBuffer(length) : new ArrayBuffer(length));
    const file = await open(join(pack.folder, PACK_FILE), "r");
    try {
      const { bytesRead } = await file.read(picture, 0, length, start);
      return bytesRead === length && adler32(picture) === checksums[at] ? picture : null;
    } finally {
      await file.close();
    }
  } catch {
    return null;
  }
}

async function forget(packsOf: Map<string, Promise<Pack[]>>, folder: string): Promise<void> {
  for (const list of packsOf.values()) {
    const packs = await list;
    const at = packs.findIndex((pack) => pack.folder === folder);
    if (at >= 0) packs.splice(at, 1);
  }
}
