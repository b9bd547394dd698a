import type { JournalStep } from "../../shared/session/journal.ts";
import type { Session } from "../../shared/session/schema.ts";

/** What a page could not save before it went away. */
export interface Unsaved {
  /** The revision that the steps were made on. */
  readonly baseRevision: string;
  readonly steps: readonly JournalStep[];
  /** The document after them; left out where the browser had no room for it. */
  readonly session?: Session;
}

/** Keeps in the browser what is not yet saved in the folder, until the person has decided about it. */
export interface UnsavedNote {
  keep(folder: string, unsaved: Unsaved): void;
  read(folder: string): Unsaved | null;
  clear(folder: string): void;
}

const KEY = "loftmark-unsaved";

/** Keeps the notes in a web storage; a storage that is full or forbidden only loses this second safety. */
export function unsavedNoteIn(storage: Pick<Storage, "getItem" | "setItem" | "removeItem">): UnsavedNote {
  const keyOf = (folder: string) => `${KEY} ${folder}`;
  const put = (folder: string, unsaved: Unsaved) => {
    try {
      storage.setItem(keyOf(folder), JSON.stringify(unsaved));
      return true;
    } catch {
      return false; // The folder stays the real place of the document; the window shows when it is not saved there.
    }
  };
  return {
    keep(folder, unsaved) {
      if (put(folder, unsaved)) return;
      const { session: _toolong, ...steps } = unsaved;
      put(folder, steps);
    },
    read(folder) {
      try {
        return JSON.parse(storage.getItem(keyOf(folder)) ?? "null");
      } catch {
        return null;
      }
    },
    clear(folder) {
      try {
        storage.removeItem(keyOf(folder));
      } catch {
        // As above.
      }
    },
  };
}
