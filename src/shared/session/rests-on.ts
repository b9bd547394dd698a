import { canonicalText, digestOf } from "./canonical-text.ts";
import { holdsClockCheck } from "./holds-clock-check.ts";
import type { Session, Shot } from "./schema.ts";

/*
 * What a long computation rests on, as a digest: two documents with the same digest give the same result.
 * Names and notes have no part.
 */

/** Of a tuning on some shots. */
export function tuningRestsOn(session: Session, shotIds: readonly string[]): string {
  const { launcher, airframe, cameras, points, site } = session;
  const shots = shotIds.map((id) => session.shots.find((shot) => shot.id === id) ?? null).map(withoutWords);
  const { massKg, centreOfGravity } = airframe;
  return digestOf(
    canonicalText([launcher, massKg, centreOfGravity, cameras, placesOf(points), site ?? null, shots]),
  );
}

/** Of one shot's result. */
export function shotRestsOn(session: Session, shotId: string): string {
  const { airframe, launcher, tuning, cameras, points, site, units } = session;
  const shot = session.shots.find(({ id }) => id === shotId) ?? null;
  const others = session.shots
    .filter(({ id, cameraId }) => id !== shotId && cameraId !== null && cameraId === shot?.cameraId)
    .filter((one) => holdsClockCheck(one, points))
    .map(withoutWords);
  const tuned = tuning?.use === true ? tuning.tuned : null;
  return digestOf(
    canonicalText([
      { ...airframe, name: "" },
      launcher,
      tuned,
      cameras,
      placesOf(points),
      site ?? null,
      units,
      withoutWords(shot),
      others,
    ]),
  );
}

function withoutWords(shot: Shot | null): Omit<Shot, "name" | "notes"> | null {
  if (shot === null) return null;
  const { name: _name, notes: _notes, ...rest } = shot;
  return rest;
}

function placesOf(points: Session["points"]): readonly unknown[] {
  return points.map(({ name: _name, ...rest }) => rest);
}
