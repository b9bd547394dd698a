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
 * Notes in the browser of what is not saved in the folder, one a page, until it is saved or the person has
 * decided about it. They are kept under the folder's real path: two cards' folders may both be called DCIM.
 */
export interface UnsavedNotes {
  /**
   * Keeps this page's note, with the document where there is room for it.
   * @returns whether the steps are noted
   */
  keep(folder: string, unsaved: Unsaved): boolean;
  /** Drops this page's note. */
  clear(folder: string): void;
  /** The notes that other pages left, the oldest first. */
  left(folder: string): readonly { readonly id: string; readonly note: Unsaved }[];
  forget(id: string): void;
}

type NoteStorage = Pick<Storage, "getItem" | "setItem" | "removeItem" | "key" | "length">;

const KEY = "loftmark-unsaved";
// characters of a document; storages hold some 5 million, and a page that leaves has no time
const MOST_LENGTH = 2_000_000;

/**
 * The notes in a web storage; a storage that is full or forbidden only loses this second safety.
 * @param page tells this page from every other one
 */
export function unsavedNotesIn(storage: NoteStorage, page: string): UnsavedNotes {
  const keyOf = (folder: string) => `${KEY} ${page} ${folder}`;
  return {
    keep(folder, unsaved) {
      const { session: _whole, ...steps } = unsaved;
      // what is certain first: a storage that is full leaves it as it is
      const noted = put(storage, keyOf(folder), steps);
      if (lengthUpTo(unsaved.session, MOST_LENGTH) < MOST_LENGTH) put(storage, keyOf(folder), unsaved);
      return noted;
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
    // The folder stays the real place of the document; the window shows when it is not saved there.
    return false;
  }
}

/**
 * About how long a value is as JSON, rather too little, or `most` when it is longer:
 * found without writing it.
 */
function lengthUpTo(value: unknown, most: number): number {
  if (typeof value !== "object" || value === null) return typeof value === "string" ? value.length + 2 : 1;
  let length = 2;
  for (const [key, one] of Object.entries(value)) {
    length += (Array.isArray(value) ? 1 : key.length + 4) + lengthUpTo(one, most);
    if (length >= most) return most;
  }
  return length;
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
