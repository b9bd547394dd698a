import { wordsOfEdit } from "../../src/shared/session/edit-words.ts";
import { applyEdit, type Edit } from "../../src/shared/session/edits.ts";
import type { JournalStep } from "../../src/shared/session/journal.ts";
import { patchBetween } from "../../src/shared/session/patch.ts";
import type { Session } from "../../src/shared/session/schema.ts";

/** The session after the edit, and the step to it as a page sends it. */
export function stepOf(edit: Edit, before: Session): { readonly after: Session; readonly step: JournalStep } {
  const after = applyEdit(before, edit);
  const at = new Date().toISOString();
  const step = { ...wordsOfEdit(edit, before), kind: "do", at, patch: patchBetween(before, after) } as const;
  return { after, step: JSON.parse(JSON.stringify(step)) as JournalStep };
}
