import { createHash } from "node:crypto";
import { readFile, stat } from "node:fs/promises";
import { join } from "node:path";
import { FaultError } from "../../shared/quantity/notice.ts";
import { freshSession } from "../../shared/session/fresh.ts";
import { afterSteps } from "../../shared/session/journal.ts";
import { openSession } from "../../shared/session/open-session.ts";
import { sameJson } from "../../shared/session/patch.ts";
import { SESSION_VERSION, type Session } from "../../shared/session/schema.ts";
import { diskFault } from "./disk-fault.ts";
import type { FieldFolder } from "./field-folder.ts";
import {
  HISTORY_FOLDER,
  type JournalLine,
  listSegments,
  readSegment,
  type Segment,
  type SegmentEnd,
  type SegmentHead,
} from "./journal-file.ts";
import { statOrNull } from "./missing-file.ts";

export const SESSION_FILE = "loftmark.json";
export const NO_FILE = "none"; // revision of a folder without a session file
const LONGEST_BYTES = 500e6; // JavaScript has no longer texts (2^29 characters)
const LONGEST_TITLE = 120; // as the schema says
// another program may save between our reading the file and the journal; hardly four times
const READ_TRIES = 4;

/**
 * A session as the folder holds it: the document's file and the steps in the journal
 * that it may not hold yet.
 */
export interface SessionState {
  readonly session: Session;
  readonly revision: string;
  /** SHA-256 of what the document's file holds; null when there is none. */
  readonly file: string | null;
  readonly fileStamp: string;
  /** Whether the file is known to hold the last step. */
  readonly fileIsLast: boolean;
  readonly segment: SegmentEnd | null;
  /** Why the next save must begin a segment; null when it goes on with this one. */
  readonly begin: SegmentHead["why"] | null;
  /** Id of the journal's last state, when another program changed the file since; else null. */
  readonly before: string | null;
}

/**
 * Reads the file and the journal. The journal's last step counts when the journal knows what the file holds;
 * a file that it does not know was written by another program, and that file is then the session.
 * @throws FaultError "broken-session", the faults of openSession, "outside-folder", disk faults
 */
export async function loadState(folder: FieldFolder): Promise<SessionState> {
  const path = join(folder.path, SESSION_FILE);
  for (let tries = 1; ; tries++) {
    const fileStamp = await stampOf(path);
    const bytes = await readBytes(path);
    // A card that was pulled holds no session either: a fresh one must not be offered,
    // let alone saved, for that.
    if (bytes === null) await folder.mustBeThere();
    const file = bytes === null ? null : shaOf(bytes);
    const name = (await listSegments(folder.path)).at(-1);
    const segment = name === undefined ? null : await readSegment(folder.path, name);
    const followed = segment === null || file === null ? null : fromJournal(segment, file, fileStamp);
    if (followed !== null) return followed;
    if (name !== undefined && tries < READ_TRIES && fileStamp !== (await stampOf(path))) continue;
    // A card that was pulled holds no session either: a fresh one must not be offered,
    // let alone saved, for that.
    if (bytes === null) await folder.mustBeThere();
    return fromFile(folder, bytes, fileStamp, segment);
  }
}

function fromJournal(segment: Segment, file: string, fileStamp: string): SessionState | null {
  const { head, lines } = segment;
  const known = head.file === file || lines.some((line) => "file" in line && line.file === file);
  const document = known ? documentAfter(segment) : null;
  const opened = document === null ? null : openSession(document);
  if (opened?.ok !== true) return null;
  const last = lines.at(-1);
  return {
    session: opened.session,
    revision: revisionOfEnd(segment),
    file,
    fileStamp,
    fileIsLast: last === undefined ? head.file === file : "file" in last && last.file === file,
    segment,
    // Steps of an older form cannot be followed by steps of this one.
    begin: opened.fromVersion !== SESSION_VERSION ? "form" : segment.damaged ? "recovered" : null,
    before: null,
  };
}

function fromFile(
  folder: FieldFolder,
  bytes: Buffer | null,
  fileStamp: string,
  segment: Segment | null,
): SessionState {
  const session = bytes === null ? freshSession(folder.name.slice(0, LONGEST_TITLE)) : sessionIn(bytes);
  const last = segment === null ? null : documentAfter(segment);
  const file = bytes === null ? null : shaOf(bytes);
  return {
    session,
    revision: file ?? NO_FILE,
    file,
    fileStamp,
    fileIsLast: true,
    segment,
    begin: segment === null ? "begun" : "outside",
    before: segment === null || last === null || sameJson(last, session) ? null : momentId(segment),
  };
}

function sessionIn(bytes: Buffer): Session {
  const opened = openSession(parsed(bytes));
  if (!opened.ok) throw new FaultError(opened.fault.code, opened.fault.cause, opened.fault.remedy);
  return opened.session;
}

/** The document at the end of a segment, of the form it was written in; null when the steps do not fit. */
function documentAfter({ head, lines }: Segment): unknown {
  try {
    return afterSteps(head.session as unknown as Session, stepsOf(lines));
  } catch (error) {
    if (error instanceof RangeError) return null;
    throw error;
  }
}

/** The steps among a segment's lines. */
export function stepsOf(lines: readonly JournalLine[]) {
  return lines.flatMap((line) => ("step" in line ? [line.step] : []));
}

/** The revision after a segment's last step. */
export function revisionOfEnd({ head, lines }: Segment): string {
  return lines.reduce((revision, line) => ("step" in line ? line.revision : revision), head.revision);
}

/** Names a state in the history: the segment and how many of its steps lead there, all by default. */
export function momentId(segment: Segment, steps: number = stepsOf(segment.lines).length): string {
  return `${segment.name.replace(/\.jsonl$/, "")}-${steps}`;
}

/** Tells whether the file was replaced or changed since. "none" when there is no file. */
export async function stampOf(path: string): Promise<string> {
  return stat(path, { bigint: true }).then(
    ({ mtimeNs, size, ino }) => `${mtimeNs} ${size} ${ino}`,
    () => NO_FILE,
  );
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
    if (stats.size > LONGEST_BYTES) {
      throw new FaultError(
        "session-too-large",
        `${SESSION_FILE} is ${Math.round(stats.size / 1e6)} MB long; Loftmark reads up to ${LONGEST_BYTES / 1e6} MB. It was left as it is.`,
        "See whether it is a session at all: a long day takes some 3 MB. Move it away, or split the outing into several field folders.",
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
      `Open the folder in the window to put the last good state from ${HISTORY_FOLDER} in its place, or correct the file in a text editor.`,
    );
  }
}

export function shaOf(bytes: Buffer): string {
  return createHash("sha256").update(bytes).digest("hex");
}
