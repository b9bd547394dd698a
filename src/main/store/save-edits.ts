import { FaultError } from "../../shared/quantity/notice.ts";
import { wordsOfEdit } from "../../shared/session/edit-words.ts";
import { applyEdit, type Edit } from "../../shared/session/edits.ts";
import type { JournalStep } from "../../shared/session/journal.ts";
import { patchBetween } from "../../shared/session/patch.ts";
import type { Session } from "../../shared/session/schema.ts";
import type { FieldFolder } from "./field-folder.ts";
import { createSessionFile } from "./session-file.ts";

const TRIES = 5; // a window saves a little after each change, so several saves in a row may come in between

/**
 * Makes edits in the session of a folder that other programs may have open, each a step of its own that can
 * be undone there. They are made on the session as it is at that moment.
 * @param editsOf gives them, or throws when they no longer fit
 * @throws FaultError of editsOf; "session-changed" when others keep saving in between; disk faults
 */
export async function saveEdits(
  folder: FieldFolder,
  editsOf: (session: Session) => readonly Edit[],
): Promise<void> {
  const file = createSessionFile(folder);
  for (let tries = 1; ; tries++) {
    const { session, revision } = await file.read();
    try {
      await file.saveSteps(stepsOf(session, editsOf(session)), revision);
      break;
    } catch (error) {
      const changed = error instanceof FaultError && error.fault.code === "session-changed";
      if (!changed || tries === TRIES) throw error;
    }
  }
  await file.settled();
}

function stepsOf(session: Session, edits: readonly Edit[]): readonly JournalStep[] {
  const at = new Date().toISOString();
  let before = session;
  return edits.map((edit) => {
    const after = applyEdit(before, edit);
    const kind = edit.kind === "note-clip" ? "note" : "do";
    const step = { ...wordsOfEdit(edit, before), kind, at, patch: patchBetween(before, after) } as const;
    before = after;
    return step;
  });
}
