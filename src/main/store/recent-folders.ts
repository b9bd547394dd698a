import { mkdir, readFile, realpath } from "node:fs/promises";
import { isAbsolute, join } from "node:path";
import { writeAtomically } from "./atomic-write.ts";
import { diskFault } from "./disk-fault.ts";
import { withFolderLock } from "./folder-lock.ts";
import { sweepLeftovers } from "./sweep-leftovers.ts";

const RECENT_FILE = "recent.json";
const MOST = 10;
const WAIT_MS = 2_000; // for another host that writes the list: nobody waits long for a convenience

/** A field folder that was opened before. */
export interface RecentFolder {
  /** Absolute, links resolved when it was opened. */
  readonly folder: string;
  /** When it was last opened, ISO 8601; null where the list was written before it kept times. */
  readonly openedAt: string | null;
}

/**
 * The field folders opened before, kept in the person's data folder and shared by every host on this machine.
 * Only a convenience: a list that cannot be read, or parts of it that make no sense, count as not there.
 */
export interface RecentFolders {
  /** At most ten, the one opened last first, whether still there or not. Never rejects. */
  list(): Promise<readonly RecentFolder[]>;
  /** Puts a folder first, once, by whatever path it was reached. Never rejects: no opening fails for it. */
  remember(folder: string, at: Date): Promise<void>;
  /** Takes a folder off the list, by its path there. The folder itself is not touched. @throws FaultError */
  forget(folder: string): Promise<void>;
}

/** @param dataDir the person's data folder; made when the first folder is remembered */
export function createRecentFolders(dataDir: string): RecentFolders {
  const path = join(dataDir, RECENT_FILE);

  async function list(): Promise<readonly RecentFolder[]> {
    try {
      return entriesOf(JSON.parse(await readFile(path, "utf8")));
    } catch {
      return []; // not there yet, or not readable
    }
  }

  /** Under a lock, so that what another host adds at the same moment is not lost. */
  async function change(
    changed: (before: readonly RecentFolder[]) => readonly RecentFolder[],
  ): Promise<void> {
    await mkdir(dataDir, { recursive: true });
    const write = async () => {
      await sweepLeftovers(dataDir);
      await writeAtomically(path, `${JSON.stringify({ folders: changed(await list()) }, null, 2)}\n`);
    };
    await withFolderLock(dataDir, write, { waitMs: WAIT_MS });
  }

  return {
    list,
    async remember(given, at) {
      const folder = await realpath(given).catch(() => given); // gone again already: by the path it had
      const first = { folder, openedAt: at.toISOString() };
      await change((before) =>
        [first, ...before.filter((one) => one.folder !== folder)].slice(0, MOST),
      ).catch(() => {});
    },
    async forget(folder) {
      await change((before) => before.filter((one) => one.folder !== folder)).catch((error: unknown) => {
        throw diskFault(error, "The list of folders opened before could not be saved");
      });
    },
  };
}

/** The entries that make sense of any JSON. @throws TypeError for null */
function entriesOf(json: unknown): readonly RecentFolder[] {
  const { folder, folders } = json as { folder?: unknown; folders?: unknown };
  // Before there was a list, the file named the last folder alone.
  const all = Array.isArray(folders) ? folders : [{ folder }];
  const entries = new Map<string, RecentFolder>();
  for (const one of all) {
    const entry = entryOf(one);
    if (entry !== null && !entries.has(entry.folder)) entries.set(entry.folder, entry);
  }
  return [...entries.values()].slice(0, MOST);
}

function entryOf(json: unknown): RecentFolder | null {
  const { folder, openedAt } = (json ?? {}) as { folder?: unknown; openedAt?: unknown };
  if (typeof folder !== "string" || !isAbsolute(folder) || folder.includes("\0")) return null;
  const known = typeof openedAt === "string" && !Number.isNaN(Date.parse(openedAt));
  return { folder, openedAt: known ? openedAt : null };
}
