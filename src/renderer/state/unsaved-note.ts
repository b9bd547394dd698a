import type { Session } from "../../shared/session/schema.ts";

/** A copy of the document kept in the browser tab while it is not yet saved in the folder. */
export interface UnsavedNote {
  keep(folder: string, baseRevision: string, session: Session): void;
  read(folder: string): { readonly baseRevision: string; readonly session: Session } | null;
  clear(): void;
}

const KEY = "loftmark-unsaved";

/** Keeps the copy in a web storage; a storage that is full or forbidden only loses this second safety. */
export function unsavedNoteIn(storage: Pick<Storage, "getItem" | "setItem" | "removeItem">): UnsavedNote {
  return {
    keep(folder, baseRevision, session) {
      try {
        storage.setItem(KEY, JSON.stringify({ folder, baseRevision, session }));
      } catch {
        // The folder stays the real place of the document; the window shows when it is not saved there.
      }
    },
    read(folder) {
      try {
        const kept = JSON.parse(storage.getItem(KEY) ?? "null");
        return kept?.folder === folder ? { baseRevision: kept.baseRevision, session: kept.session } : null;
      } catch {
        return null;
      }
    },
    clear() {
      try {
        storage.removeItem(KEY);
      } catch {
        // As above.
      }
    },
  };
}
