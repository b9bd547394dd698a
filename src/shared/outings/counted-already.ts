import { notedClip } from "../session/noted-clips.ts";
import type { Outing, Session, Shot } from "../session/schema.ts";

/** SHA-256 of a shot's clip; null where the session did not note it. */
export function clipDigest(session: Session, { clip }: Shot): string | null {
  return clip === null ? null : (notedClip(session, clip)?.fingerprint ?? null);
}

/**
 * The shots of another outing whose clip counts already, by their ids, and as what: a copied folder would
 * count each of them twice.
 * @param outingId of the outing that is read; its own former copy is no other
 */
export function countedAlready(here: Session, there: Session, outingId: string): ReadonlyMap<string, string> {
  const names = new Map<string, string>();
  for (const { id, title, shots } of here.outings ?? []) {
    if (id === outingId) continue;
    for (const { clipSha256, name } of shots) {
      if (clipSha256 !== null) names.set(clipSha256, `${name} of ${title}`);
    }
  }
  for (const shot of here.shots) {
    const digest = clipDigest(here, shot);
    if (digest !== null) names.set(digest, `${shot.name} here`);
  }
  return new Map(
    there.shots.flatMap((shot) => {
      const name = names.get(clipDigest(there, shot) ?? "");
      return name === undefined
        ? []
        : [[shot.id, `its clip is that of ${name}, which counts already`] as const];
    }),
  );
}

/** Whether a session is that of an outing: it was read from it, or has a clip of one of its shots. */
export function isSessionOf(there: Session, fingerprint: string, outing: Outing): boolean {
  if (outing.fingerprint === fingerprint) return true;
  const digests = new Set(there.shots.map((shot) => clipDigest(there, shot)));
  return outing.shots.some(({ clipSha256 }) => clipSha256 !== null && digests.has(clipSha256));
}
