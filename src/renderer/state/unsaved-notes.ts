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

/**
 * Notes in the browser of what is not saved in the folder, one a page, until it is saved or the person has decided about
 * it. They are kept under the folder's real path: two cards' folders may both be called DCIM.
 */
export interface UnsavedNotes {
  /** Keeps this page's note. */
  keep(folder: string, unsaved: Unsaved): void;
  /** Drops this page's note. */
  clear(folder: string): void;
  /** The notes that other pages left, the oldest first. */
  left(folder: string): readonly { readonly id: string; readonly note: Unsaved }[];
  forget(id: string): void;
}

type NoteStorage = Pick<Storage, "getItem" | "setItem" | "removeItem" | "key" | "length">;

const KEY = "loftmark-unsaved";

/**
 * The notes in a web storage; a storage that is full or forbidden only loses this second safety.
 * @param page tells this page from every other one
 */
export function unsavedNotesIn(storage: NoteStorage, page: string): UnsavedNotes {
  const keyOf = (folder: string) => `${KEY} ${page} ${folder}`;
  return {
    keep(folder, unsaved) {
      const { session: _whole, ...steps } = unsaved;
      if (!put(storage, keyOf(folder), unsaved)) put(storage, keyOf(folder), steps);
    },
    clear: (folder) => drop(storage, keyOf(folder)),
    left(folder) {
      const found = keysIn(storage).flatMap((id) => {
        const [kind, of, ...rest] = id.split(" ");
        const note = kind === KEY && of !== page && rest.join(" ") === folder ? noteAt(storage, id) : null;
        return note === null ? [] : [{ id, note }];
      });
      return found.sort((a, b) => (timeOf(a.note) < timeOf(b.note) ? -1 : 1));
    },
    forget: (id) => drop(storage, id),
  };
}

function put(storage: NoteStorage, key: string, unsaved: Unsaved): boolean {
  try {
    storage.setItem(key, JSON.stringify(unsaved));
    return true;
  } catch {
    return false; // The folder stays the real place of the document; the window shows when it is not saved there.
  }
}

function drop(storage: NoteStorage, key: string): void {
  try {
    storage.removeItem(key);
  } catch {
    // As above.
  }
}

function keysIn(storage: NoteStorage): readonly string[] {
  try {
    return Array.from({ length: storage.length }, (_, i) => storage.key(i) ?? "");
  } catch {
    return [];
  }
}

function noteAt(storage: NoteStorage, key: string): Unsaved | null {
  try {
    const note = JSON.parse(storage.getItem(key) ?? "null");
    return Array.isArray(note?.steps) ? note : null;
  } catch {
    return null;
  }
}

function timeOf(note: Unsaved): string {
  return note.steps.at(-1)?.at ?? "";
}
