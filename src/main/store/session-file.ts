import { createHash } from "node:crypto";
import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { FaultError } from "../../shared/quantity/notice.ts";
import { freshSession } from "../../shared/session/fresh.ts";
import { openSession } from "../../shared/session/open-session.ts";
import type { Session } from "../../shared/session/schema.ts";
import { writeAtomically } from "./atomic-write.ts";
import { diskFault } from "./disk-fault.ts";
import { type FieldFolder, statOrNull } from "./field-folder.ts";
import { withFolderLock } from "./folder-lock.ts";

export const SESSION_FILE = "loftmark.json";
export const PREVIOUS_FILE = "loftmark.previous.json";

const NO_FILE = "none"; // revision of a folder without a session file
const LONGEST_TITLE = 120; // as the schema says

export interface StoredSession {
  readonly session: Session;
  /** SHA-256 of the file's bytes, or "none" when there is no file. */
  readonly revision: string;
  readonly existed: boolean;
}

/** The session document of one field folder. */
export interface SessionFile {
  /**
   * Reads `loftmark.json`; without one gives a fresh session and writes nothing.
   * @throws FaultError "broken-session" for a file that is not JSON, the faults of openSession, "outside-folder"
   */
  read(): Promise<StoredSession>;
  /**
   * Saves when the file is still the one that `baseRevision` names, keeping its content as `loftmark.previous.json`.
   * Saving what is already there changes nothing. @returns the new revision
   * @throws FaultError "session-changed" when the file is another one by now; disk faults. The file is then untouched.
   */
  save(session: Session, baseRevision: string): Promise<string>;
}

export function createSessionFile(folder: FieldFolder): SessionFile {
  const path = join(folder.path, SESSION_FILE);

  return {
    async read() {
      const bytes = await readBytes(path);
      if (bytes === null) {
        // A card that was pulled holds no session either: a fresh one must not be offered, let alone saved, for that.
        await folder.mustBeThere();
        const session = freshSession(folder.name.slice(0, LONGEST_TITLE));
        return { session, revision: NO_FILE, existed: false };
      }
      const opened = openSession(parsed(bytes));
      if (!opened.ok) throw new FaultError(opened.fault.code, opened.fault.cause, opened.fault.remedy);
      return { session: opened.session, revision: revisionOf(bytes), existed: true };
    },
    // The revision is checked under the lock, so that two saves of one base cannot both pass, whichever program they are of.
    save: (session, baseRevision) =>
      withFolderLock(folder.path, () => saveNow(folder, path, session, baseRevision)),
  };
}

/** The very bytes that a session is stored as. */
export function sessionText(session: Session): string {
  return `${JSON.stringify(session, null, 2)}\n`;
}

async function saveNow(
  folder: FieldFolder,
  path: string,
  session: Session,
  baseRevision: string,
): Promise<string> {
  await folder.mustBeThere();
  const before = await readBytes(path);
  if ((before === null ? NO_FILE : revisionOf(before)) !== baseRevision) {
    throw new FaultError(
      "session-changed",
      `${SESSION_FILE} was changed on disk since you opened it, so your last changes were not saved over it.`,
      "Reload to see the other version; your last changes can then be made again.",
    );
  }
  const bytes = Buffer.from(sessionText(session));
  if (before?.equals(bytes) === true) return baseRevision;
  try {
    if (before !== null) await writeAtomically(join(folder.path, PREVIOUS_FILE), before);
    await writeAtomically(path, bytes);
  } catch (error) {
    throw diskFault(error, `${SESSION_FILE} could not be saved`);
  }
  return revisionOf(bytes);
}

async function readBytes(path: string): Promise<Buffer | null> {
  try {
    const stats = await statOrNull(path);
    if (stats === null) return null;
    if (!stats.isFile()) {
      throw new FaultError(
        "outside-folder",
        `${SESSION_FILE} in the field folder is not a file of its own but a link or a folder.`,
        "Put the session file itself in the field folder; Loftmark touches nothing outside it.",
      );
    }
    return await readFile(path);
  } catch (error) {
    throw diskFault(error, `${SESSION_FILE} cannot be read`);
  }
}

function parsed(bytes: Buffer): unknown {
  try {
    return JSON.parse(bytes.toString("utf8").replace(/^\uFEFF/, ""));
  } catch (error) {
    const detail = error instanceof Error ? ` (${error.message})` : "";
    throw new FaultError(
      "broken-session",
      `${SESSION_FILE} is not readable as JSON${detail}. It was left as it is.`,
      `Mend it in a text editor, or put the previous generation (${PREVIOUS_FILE}) in its place.`,
    );
  }
}

function revisionOf(bytes: Buffer): string {
  return createHash("sha256").update(bytes).digest("hex");
}
