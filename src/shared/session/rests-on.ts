import { canonicalText, digestOf } from "./canonical-text.ts";
import { holdsClockCheck } from "./holds-clock-check.ts";
import { outingShotOf } from "./outings.ts";
import type { Session, Shot } from "./schema.ts";
import { whatTookPart } from "./what-took-part.ts";

/*
 * What a long computation rests on, as a digest: two documents with the same digest give the same result.
 * Names and notes have no part.
 */

/** Of a tuning of a launcher on some shots. */
export function tuningRestsOn(session: Session, launcherId: string, shotIds: readonly string[]): string {
  const { launchers, cameras, points, site } = session;
  const launcher = launchers.find(({ id }) => id === launcherId) ?? null;
  const shots = shotIds.map((id) => session.shots.find((shot) => shot.id === id) ?? null);
  const elsewhere = shotIds.flatMap((id) => {
    const one = outingShotOf(session, id);
    return one === null ? [] : [[one.shot, one.massKg, one.launcherId, one.outing.cameras]];
  });
  const thrown = shots.map((shot) => {
    if (shot === null) return null;
    const { massKg, centreOfGravity } = whatTookPart(session, shot).airframe;
    return [massKg, centreOfGravity];
  });
  return digestOf(
    canonicalText([
      elsewhere,
      launcher,
      thrown,
      cameras,
      placesOf(points),
      site ?? null,
      shots.map(withoutWords),
    ]),
  );
}

/** Of one shot's result. */
export function shotRestsOn(session: Session, shotId: string): string {
  const { cameras, points, site, units } = session;
  const shot = session.shots.find(({ id }) => id === shotId) ?? null;
  const { airframe = null, launcher = null, tuning } = shot === null ? {} : whatTookPart(session, shot);
  const others = session.shots
    .filter(({ id, cameraId }) => id !== shotId && cameraId !== null && cameraId === shot?.cameraId)
    .filter((one) => holdsClockCheck(one, points))
    .map(withoutWords);
  const tuned = tuning?.use === true ? tuning.tuned : null;
  return digestOf(
    canonicalText([
      airframe && { ...airframe, name: "" },
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
