import { FaultError } from "../../shared/quantity/notice.ts";
import type { Session } from "../../shared/session/schema.ts";
import type { FieldFolder } from "./field-folder.ts";
import { createSessionFile } from "./session-file.ts";

const TRIES = 20; // a window beside saves twice a second at most

/**
 * Makes a change on the session as it is now, and again on the newer one when another program saved in between, so that
 * neither's work is lost. @throws what `change` throws; the faults of reading and saving
 */
export async function changeSession(
  folder: FieldFolder,
  change: (session: Session) => Session,
): Promise<void> {
  const file = createSessionFile(folder);
  for (let left = TRIES; ; left--) {
    const { session, revision } = await file.read();
    const changed = change(session);
    try {
      await file.save(changed, revision);
      return;
    } catch (error) {
      const changedMeanwhile = error instanceof FaultError && error.fault.code === "session-changed";
      if (!changedMeanwhile || left <= 1) throw error;
    }
  }
}
