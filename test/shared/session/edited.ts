import { wordsOfEdit } from "../../../src/shared/session/edit-words.ts";
import { applyEdit, type Edit } from "../../../src/shared/session/edits.ts";
import { done, type History } from "../../../src/shared/session/history.ts";

/** The history after one edit, as a window makes it; all at one invented time. */
export function edited(history: History, edit: Edit): History {
  const at = "2026-05-01T10:00:00.000Z";
  return done(history, applyEdit(history.present, edit), wordsOfEdit(edit, history.present), at);
}
