import { FaultError } from "../../shared/quantity/notice.ts";
import { wordsOfEdit } from "../../shared/session/edit-words.ts";
import { applyEdit, type Edit } from "../../shared/session/edits.ts";
import { patchBetween } from "../../shared/session/patch.ts";
import type { Session } from "../../shared/session/schema.ts";
import type { FieldFolder } from "./field-folder.ts";
import { createSessionFile } from "./session-file.ts";

const TRIES = 5; // a window saves a little after each change, so several saves in a row may come in between

/**
 * Makes one edit in the session of a folder that other programs may have open, as a step of its own that can be undone
 * there. The edit is made on the session as it is at that moment. @param editOf gives the edit, or throws when it no longer fits
 * @throws FaultError of editOf; "session-changed" when others keep saving in between; disk faults
 */
export async function saveEdit(folder: FieldFolder, editOf: (session: Session) => Edit): Promise<void> {
  const file = createSessionFile(folder);
  for (let tries = 1; ; tries++) {
    const { session, revision } = await file.read();
    const edit = editOf(session);
    const patch = patchBetween(session, applyEdit(session, edit));
    const at = new Date().toISOString();
    try {
      await file.saveSteps([{ ...wordsOfEdit(edit, session), kind: "do", at, patch }], revision);
      break;
    } catch (error) {
      const changed = error instanceof FaultError && error.fault.code === "session-changed";
      if (!changed || tries === TRIES) throw error;
    }
  }
  await file.settled();
}
