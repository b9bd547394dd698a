import type { Session } from "./schema.ts";

/** What a session keeps of a clip that its shots use: enough to tell another content under the same name. */
export type NotedClip = NonNullable<Session["clips"]>[number];

/** What is found of a clip's file; `fingerprint` is null until the whole file was read. */
export interface FoundContent {
  readonly bytes: number;
  readonly fingerprint: string | null;
}

/**
 * How a clip's file stands to what the session noted of it. first: nothing was noted yet; unread: it may be
 * the same, the file has to be read to know; same; other: another content under the same name.
 */
export type ClipStanding = "first" | "unread" | "same" | "other";

/** What the session noted of the clip of this name; null when nothing. */
export function notedClip({ clips }: Session, name: string): NotedClip | null {
  return clips?.find((clip) => clip.name === name) ?? null;
}

export function clipStanding(noted: NotedClip | null, found: FoundContent): ClipStanding {
  if (noted === null) return "first";
  if (noted.bytes !== found.bytes) return "other";
  if (found.fingerprint === null) return "unread";
  return noted.fingerprint === found.fingerprint ? "same" : "other";
}

/**
 * The session with a clip noted in place of what was noted under its name.
 * @throws RangeError when no shot uses the clip
 */
export function withNote(session: Session, clip: NotedClip): Session {
  if (!isUsed(session, clip.name)) throw new RangeError(`no shot uses the clip "${clip.name}"`);
  const others = (session.clips ?? []).filter(({ name }) => name !== clip.name);
  return { ...session, clips: [...others, clip] };
}

/** The session without notes of clips that no shot uses any more; the same object when there are none. */
export function notesInUse(session: Session): Session {
  const { clips, ...rest } = session;
  const names = new Set(session.shots.map(({ clip }) => clip)); // a day has hundreds of each
  const used = clips?.filter(({ name }) => names.has(name)) ?? [];
  if (used.length === (clips?.length ?? 0)) return session;
  return used.length === 0 ? rest : { ...rest, clips: used };
}

/** Whether a shot of the session uses the clip of this name. */
export function isUsed({ shots }: Session, name: string): boolean {
  return shots.some((shot) => shot.clip === name);
}
