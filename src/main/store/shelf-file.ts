import { mkdir, readFile } from "node:fs/promises";
import { join } from "node:path";
import { FaultError } from "../../shared/quantity/notice.ts";
import { broken, type OpenedShelf, openShelf } from "../../shared/shelf/open-shelf.ts";
import { EMPTY_SHELF, type Shelf } from "../../shared/shelf/shelf-schema.ts";
import { writeAtomically } from "./atomic-write.ts";
import { diskFault } from "./disk-fault.ts";
import { withFolderLock } from "./folder-lock.ts";
import { isMissing } from "./missing-file.ts";
import { sweepLeftovers } from "./sweep-leftovers.ts";

const SHELF_FILE = "shelf.json";

/** The person's shelf on the disk; several windows and commands may use it at once. */
export interface ShelfFile {
  /** An empty one where there is none yet. @throws FaultError "broken-shelf", "newer-shelf"; disk faults */
  read(): Promise<Shelf>;
  /**
   * Changes the shelf as it is at that moment, whole or not at all. A shelf that cannot be read is left as it
   * is. @throws as read, and what `change` throws
   */
  change(change: (shelf: Shelf) => Shelf): Promise<Shelf>;
}

/** The folder of the shelf within a person's data folder: it has a lock of its own. */
export function shelfFolder(dataDir: string): string {
  return join(dataDir, "shelf");
}

/** @param folder of the shelf; made with the first change */
export function createShelfFile(folder: string): ShelfFile {
  const path = join(folder, SHELF_FILE);

  async function read(): Promise<Shelf> {
    let text: string;
    try {
      text = await readFile(path, "utf8");
    } catch (error) {
      if (isMissing(error)) return EMPTY_SHELF;
      throw diskFault(error, "The shelf cannot be read");
    }
    const opened = parsed(text, path);
    if (opened.ok) return opened.shelf;
    throw new FaultError(opened.fault.code, opened.fault.cause, opened.fault.remedy);
  }

  async function changed(change: (shelf: Shelf) => Shelf): Promise<Shelf> {
    try {
      await mkdir(folder, { recursive: true });
    } catch (error) {
      throw diskFault(error, CANNOT_SAVE);
    }
    return withFolderLock(folder, async () => {
      await sweepLeftovers(folder);
      const before = await read();
      const after = change(before);
      if (after === before) return after;
      await writeAtomically(path, `${JSON.stringify(after, null, 2)}\n`).catch((error: unknown) => {
        throw diskFault(error, CANNOT_SAVE);
      });
      return after;
    });
  }

  return { read, change: changed };
}

const CANNOT_SAVE = "The shelf could not be saved";

function parsed(text: string, path: string): OpenedShelf {
  let json: unknown;
  try {
    json = JSON.parse(text);
  } catch {
    return broken("it is not JSON, or was cut short", path);
  }
  return openShelf(json, path);
}
