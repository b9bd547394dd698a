import type { SaveState } from "../saving/autosave.ts";

/** What is known of the folder's willingness to be written. */
export type Access = "writable" | "read-only";

/** Where the document stands, in a word or two. */
export function saveText(save: SaveState, access: Access): string {
  switch (save.status) {
    case "saved":
      return access === "read-only" ? "read-only" : "saved";
    case "waiting":
    case "saving":
      return access === "read-only" ? KEPT_HERE : "saving";
    case "failed":
      return isReadOnly(save) ? KEPT_HERE : "not saved";
    case "conflict":
      return "not saved: changed elsewhere";
  }
}

const KEPT_HERE = "only in this window";

/**
 * Whether a save failed because the folder is read-only: that is said once, not as a failure that may pass.
 */
export function isReadOnly(save: SaveState): boolean {
  return save.status === "failed" && save.fault.code === "folder-read-only";
}
