import type { SaveState } from "../state/autosave.ts";

/** Where the document stands, in a word or two. */
export function saveText(save: SaveState): string {
  switch (save.status) {
    case "saved":
      return "saved";
    case "waiting":
    case "saving":
      return "saving";
    case "failed":
      return "not saved";
    case "conflict":
      return "not saved: changed elsewhere";
  }
}
