import { resolve } from "node:path";
import { FaultError } from "../../shared/quantity/notice.ts";
import type { Session } from "../../shared/session/schema.ts";
import { type FieldFolder, openFieldFolder } from "../store/field-folder.ts";
import { createSessionFile, SESSION_FILE } from "../store/session-file.ts";

/**
 * Opens a field folder with the session in it, for reading.
 * @throws FaultError also when there is no session yet: there is then nothing to work on
 */
export async function openFolderWithSession(
  cwd: string,
  path: string,
): Promise<{ readonly folder: FieldFolder; readonly session: Session }> {
  const folder = await openFieldFolder(resolve(cwd, path));
  const { session, existed } = await createSessionFile(folder).read();
  if (!existed) {
    throw new FaultError(
      "no-session",
      `There is no ${SESSION_FILE} in "${folder.name}", so no shot has been described yet.`,
      `Open the folder with "npm start", mark a shot, then try again.`,
    );
  }
  if (session.shots.length === 0) {
    throw new FaultError(
      "no-shots",
      `The session in "${folder.name}" has no shots.`,
      `Open the folder with "npm start" and add a shot, then try again.`,
    );
  }
  return { folder, session };
}
