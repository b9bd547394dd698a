import type { Session } from "./schema.ts";
import type { Shelved, ThingKind } from "./shelf-schemas.ts";

/** What a session holds of each kind that can be on a shelf. */
export function thingsOf(
  { airframes, launchers, cameras }: Pick<Session, "airframes" | "launchers" | "cameras">,
  of: ThingKind,
): readonly { readonly id: string; readonly name: string }[] {
  return { airframe: airframes, launcher: launchers, camera: cameras }[of];
}

/** What the session notes of a thing's place on the shelf; null where it was neither taken nor kept. */
export function shelvedAs({ shelved }: Pick<Session, "shelved">, of: ThingKind, id: string): Shelved | null {
  return shelved?.find((one) => one.of === of && one.id === id) ?? null;
}

/** The session with a thing's place on the shelf in place of what was noted of it before. */
export function withShelved(session: Session, note: Shelved): Session {
  const others = (session.shelved ?? []).filter(({ of, id }) => of !== note.of || id !== note.id);
  return { ...session, shelved: [...others, note] };
}

/** The session without notes of things that it no longer has; the same object when there are none. */
export function shelvedInUse(session: Session): Session {
  const { shelved, ...rest } = session;
  const used = shelved?.filter(({ of, id }) => thingsOf(session, of).some((one) => one.id === id)) ?? [];
  if (used.length === (shelved?.length ?? 0)) return session;
  return used.length === 0 ? rest : { ...rest, shelved: used };
}
