import type { Session } from "../../shared/session/schema.ts";

/**
 * A copy of the document kept by the browser while it is not yet saved in the folder. It is kept under the folder's real
 * path: two cards' folders may both be called DCIM.
 */
export interface UnsavedNote {
  keep(folder: string, baseRevision: string, session: Session): void;
  read(folder: string): { readonly baseRevision: string; readonly session: Session } | null;
  clear(folder: string): void;
}

/** Keeps the copy in a web storage; a storage that is full or forbidden only loses this second safety. */
export function unsavedNoteIn(storage: Pick<Storage, "getItem" | "setItem" | "removeItem">): UnsavedNote {
  return {
    keep(folder, baseRevision, session) {
      try {
        storage.setItem(keyOf(folder), JSON.stringify({ baseRevision, session }));
      } catch {
        // The folder stays the real place of the document; the window shows when it is not saved there.
      }
    },
    read(folder) {
      try {
        const kept = JSON.parse(storage.getItem(keyOf(folder)) ?? "null");
        return kept === null ? null : { baseRevision: kept.baseRevision, session: kept.session };
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

function keyOf(folder: string): string {
  return `loftmark-unsaved ${folder}`;
}
