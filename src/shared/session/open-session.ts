import type { Fault } from "../quantity/notice.ts";
import { sessionJsonSchema } from "./json-schema.ts";
import { SESSION_FORMAT, SESSION_VERSION, type Session, SessionSchema } from "./schema.ts";
import { severalThings } from "./several-things.ts";
import { tunedByPath } from "./tuned-by-path.ts";
import { wordIssue } from "./word-issue.ts";

/** A document as parsed from JSON, of any version. */
export type Document = Readonly<Record<string, unknown>>;

/** Turns a document of one version into one of the next; it must also set `version`. Pure. */
export type Migration = (document: Document) => Document;

/** From version n (the key) to version n + 1. */
const MIGRATIONS: Readonly<Record<number, Migration>> = {
  // Version 2 may note the content of clips; what was not noted is noted when the clip is next known.
  1: (document) => ({ ...tunedByPath(document), version: 2 }),
  2: (document) => ({ ...severalThings(document), version: 3 }),
};

export type OpenCode = "not-a-session" | "newer-session" | "bad-session";

export type Opened =
  | { readonly ok: true; readonly session: Session; readonly fromVersion: number }
  | { readonly ok: false; readonly fault: Fault & { readonly code: OpenCode } };

const SHOWN_ISSUES = 5; // more do not help: correcting the first often corrects the rest

/**
 * Opens a parsed `loftmark.json` of this or an earlier version.
 * Refuses, as a fault with cause and remedy: a document that is not a session ("not-a-session"), one made by
 * a newer Loftmark ("newer-session"), and one whose fields do not fit ("bad-session": each named by its path,
 * with what was found and what is wanted).
 */
export function openSession(json: unknown): Opened {
  const version = versionOf(json);
  if (version === null) {
    return refused(
      "not-a-session",
      `This is not a Loftmark session: it does not say "format": "${SESSION_FORMAT}" and a version number.`,
      "Choose the folder that holds your clips, or move this file away and start a new session.",
    );
  }
  if (version > SESSION_VERSION) {
    return refused(
      "newer-session",
      `This session was made by a newer Loftmark (session version ${version}; this one reads up to ${SESSION_VERSION}).`,
      "Update Loftmark, then open the folder again. The file was left as it is.",
    );
  }
  const current = migrateDocument(json as Document, version, SESSION_VERSION, MIGRATIONS);
  const parsed = SessionSchema.safeParse(current);
  if (parsed.success) return { ok: true, session: parsed.data, fromVersion: version };
  const schema = sessionJsonSchema();
  const lines = parsed.error.issues.slice(0, SHOWN_ISSUES).map((issue) => wordIssue(issue, current, schema));
  const more = parsed.error.issues.length - lines.length;
  return refused(
    "bad-session",
    `The session does not fit its format. ${lines.join("; ")}${more > 0 ? `; and ${more} more` : ""}.`,
    "Correct the named fields in a text editor, or open the folder in the window and take the last good state from its history.",
  );
}

/**
 * Walks a document through the chain of migrations, one version at a time.
 * @throws RangeError when a step is missing or does not raise the version by one: the
 *   chain's bug, not the document's
 */
export function migrateDocument(
  document: Document,
  from: number,
  to: number,
  chain: Readonly<Record<number, Migration>>,
): Document {
  let current = document;
  for (let version = from; version < to; version++) {
    const step = chain[version];
    if (step === undefined) throw new RangeError(`migrateDocument: no step from version ${version}`);
    current = step(current);
    if (current.version !== version + 1) {
      throw new RangeError(
        `migrateDocument: the step from ${version} gave version ${String(current.version)}`,
      );
    }
  }
  return current;
}

function versionOf(json: unknown): number | null {
  if (typeof json !== "object" || json === null || Array.isArray(json)) return null;
  const { format, version } = json as Document;
  if (format !== SESSION_FORMAT) return null;
  return typeof version === "number" && Number.isSafeInteger(version) && version >= 1 ? version : null;
}

function refused(code: OpenCode, cause: string, remedy: string): Opened {
  return { ok: false, fault: { code, cause, remedy } };
}
