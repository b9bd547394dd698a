import { createHash } from "node:crypto";
import { relative, resolve, sep } from "node:path";
import { countedAlready, isSessionOf } from "../../shared/outings/counted-already.ts";
import { makeOuting } from "../../shared/outings/make-outing.ts";
import { FaultError } from "../../shared/quantity/notice.ts";
import { unusedId } from "../../shared/session/fresh.ts";
import type { Outing, Session } from "../../shared/session/schema.ts";
import type { MediaOptions } from "../media/media.ts";
import { openFieldFolder } from "../store/field-folder.ts";
import { createSessionFile, SESSION_FILE } from "../store/session-file.ts";
import { sessionText } from "../store/session-text.ts";
import type { JobParts } from "./job-parts.ts";
import { trackShots } from "./track-shots.ts";
import { withClipsNoted } from "./with-clips-noted.ts";

/** What to read: a folder that is named for the first time, or one whose copy the session has. */
export interface OutingToRead {
  /** Of the other folder, from this one or absolute. */
  readonly path: string;
  /** Of the copy that is made anew; null to name another outing. */
  readonly outingId: string | null;
}

/**
 * Reads another field folder, measures its shots, and makes the copy of them that a session keeps. Nothing is
 * written there. A folder that is named anew is taken for that of an outing whose own folder is missing where
 * it has the same session or clips.
 * @param session that names the outing: its things are what the other's are held against
 * @returns with the id of the copy that it takes the place of, where there is one
 * @throws FaultError when the folder, its session or every shot of it cannot be read, when it is named
 *   already, or when it is the session's own
 */
export async function readOuting(
  parts: Pick<JobParts, "folder" | "factsOf" | "workers" | "log">,
  session: Session,
  { path, outingId }: OutingToRead,
  options: Required<MediaOptions>,
): Promise<Outing> {
  const other = await openFieldFolder(resolve(parts.folder.path, path));
  if (other.path === parts.folder.path) {
    throw new FaultError(
      "same-outing",
      "This is the folder of the session itself: its shots count already.",
      "Name the folder of another outing.",
    );
  }
  const from = relative(parts.folder.path, other.path).split(sep).join("/");
  const { outings = [] } = session;
  const named = outings.find((one) => one.path === from && one.id !== outingId);
  if (named !== undefined) {
    throw new FaultError(
      "outing-named-already",
      `"${named.title}" (${named.id}) is this folder, ${from}: it is named already.`,
      "Read that outing again where its folder has changed.",
    );
  }
  const asRead = await sessionIn(other);
  const fingerprint = fingerprintOf(asRead);
  const { fingerprints } = parts.factsOf;
  const there = await withClipsNoted(asRead, other, fingerprints, options);
  const before =
    outings.find(({ id }) => id === outingId) ??
    (await movedFrom(parts.folder.path, outings, (one) => isSessionOf(there, fingerprint, one)));
  const id = before?.id ?? unusedId("outing", outings);
  const here = await withClipsNoted(session, parts.folder, fingerprints, options);
  const counted = countedAlready(here, there, id);
  const left = there.shots.filter((shot) => !counted.has(shot.id)).map((shot) => shot.id);
  const tracked = await trackShots({ ...parts, folder: other }, there, left, options);
  const lacking = new Map([...counted, ...tracked.lacking]);
  if (tracked.tracks.size === 0) {
    const why = [...lacking].map(([shotId, reason]) => `${shotId}: ${reason}`).join(" ");
    throw new FaultError(
      "no-shots",
      `No shot of "${other.name}" could be measured and counts for the first time. ${why}`.trim(),
      "Open that folder and measure a shot that is not in this session, then name it here.",
    );
  }
  const readAt = new Date().toISOString();
  const facts = { id, path: from, title: titleOf(there, other.name), fingerprint, readAt };
  return makeOuting(session, there, { ...tracked, lacking }, facts, before);
}

/** The outing whose folder is missing and that a session found elsewhere is of; null where it is of none. */
async function movedFrom(
  folder: string,
  outings: readonly Outing[],
  isOf: (outing: Outing) => boolean,
): Promise<Outing | null> {
  for (const one of outings) {
    if (isOf(one) && (await outingStanding(folder, one)) === "missing") return one;
  }
  return null;
}

/**
 * How another outing stands to the copy of it: "same"; "changed" since; "missing", its folder or session is
 * not there; "unreadable", it is there and cannot be read.
 */
export type OutingStanding = "same" | "changed" | "missing" | "unreadable";

/** @param folder path of the field folder that names it */
export async function outingStanding(folder: string, outing: Outing): Promise<OutingStanding> {
  try {
    const other = await openFieldFolder(resolve(folder, outing.path));
    return fingerprintOf(await sessionIn(other)) === outing.fingerprint ? "same" : "changed";
  } catch (error) {
    if (!(error instanceof FaultError)) throw error;
    const gone = ["no-such-folder", "not-a-folder", "folder-gone", "no-session"];
    return gone.includes(error.fault.code) ? "missing" : "unreadable";
  }
}

async function sessionIn(folder: Awaited<ReturnType<typeof openFieldFolder>>): Promise<Session> {
  const { session, existed } = await createSessionFile(folder).read();
  if (existed) return session;
  throw new FaultError(
    "no-session",
    `There is no ${SESSION_FILE} in "${folder.name}", so no shot has been described there.`,
    "Name a folder that was opened in Loftmark before.",
  );
}

function titleOf({ title }: Session, name: string): string {
  return (title || name).slice(0, 200);
}

function fingerprintOf(session: Session): string {
  return `sha256-${createHash("sha256").update(sessionText(session)).digest("hex")}`;
}
