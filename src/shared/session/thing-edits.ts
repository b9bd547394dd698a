import { unusedId } from "./fresh.ts";
import type { ListedTuning, Point, Session, Shot, Tuning } from "./schema.ts";

/* What edits do to the airframes, launchers and cameras of a session. All ids are there. */

/** A shot throws another airframe; its marks go over to the points of the same names. */
export function withAirframeOfShot(session: Session, shotId: string, airframeId: string): Session {
  const shots = session.shots.map((shot) => (shot.id === shotId ? { ...shot, airframeId } : shot));
  return marksOnOwn({ ...session, shots });
}

/** The airframe and its points go; its shots throw another one, and their marks go over to its points. */
export function withoutAirframe(session: Session, airframeId: string, insteadId: string): Session {
  const shots = session.shots.map((shot) =>
    shot.airframeId === airframeId ? { ...shot, airframeId: insteadId } : shot,
  );
  const moved = marksOnOwn({ ...session, shots });
  return {
    ...moved,
    airframes: moved.airframes.filter(({ id }) => id !== airframeId),
    points: moved.points.filter((point) => point.airframeId !== airframeId),
  };
}

/** The launcher and its tuning go; its shots name none. */
export function withoutLauncher(session: Session, launcherId: string): Session {
  return withTuning(
    {
      ...session,
      launchers: session.launchers.filter(({ id }) => id !== launcherId),
      shots: session.shots.map((shot) =>
        shot.launcherId === launcherId ? { ...shot, launcherId: null } : shot,
      ),
    },
    launcherId,
    null,
  );
}

/** The camera goes; its shots name none and keep their clocks. */
export function withoutCamera(session: Session, cameraId: string): Session {
  return {
    ...session,
    cameras: session.cameras.filter(({ id }) => id !== cameraId),
    shots: session.shots.map((shot) => (shot.cameraId === cameraId ? { ...shot, cameraId: null } : shot)),
  };
}

/** What a launcher was tuned to, in place of what it was tuned to before. */
export function withTuning(session: Session, launcherId: string, tuning: Tuning | null): Session {
  const { tunings = [], ...rest } = session;
  const at = tunings.findIndex((one) => one.launcherId === launcherId);
  const next: readonly ListedTuning[] = tuning === null ? [] : [{ ...tuning, launcherId }];
  const all = at < 0 ? [...tunings, ...next] : [...tunings.slice(0, at), ...next, ...tunings.slice(at + 1)];
  return all.length === 0 ? rest : { ...rest, tunings: [...all] };
}

/**
 * A session in which marks on points of another airframe than their shot's have gone over to the shot's own
 * points of the same names; where it has none, one is added. Shots that need nothing stay the same objects.
 */
export function marksOnOwn(session: Session): Session {
  let { points } = session;
  const shots = session.shots.map((shot) => {
    const renamed = new Map<string, string>();
    const inUse = new Set(shot.marks.map(({ pointId }) => pointId));
    for (const pointId of inUse) {
      const point = points.find(({ id }) => id === pointId);
      if (point === undefined || point.airframeId === null || point.airframeId === shot.airframeId) continue;
      const own = points.find((one) => isNamesake(one, point, shot) && !inUse.has(one.id));
      const target = own ?? newPoint(points, point, shot.airframeId);
      if (own === undefined) points = [...points, target];
      renamed.set(pointId, target.id);
      inUse.add(target.id);
    }
    if (renamed.size === 0) return shot;
    const marks = shot.marks.map((mark) => ({ ...mark, pointId: renamed.get(mark.pointId) ?? mark.pointId }));
    return { ...shot, marks: marks.sort((a, b) => a.frame - b.frame || (a.pointId < b.pointId ? -1 : 1)) };
  });
  return { ...session, points, shots };
}

function isNamesake(one: Point, point: Point, { airframeId }: Shot): boolean {
  return one.airframeId === airframeId && one.name === point.name;
}

function newPoint(points: readonly Point[], { name }: Point, airframeId: string): Point {
  return { id: unusedId("point", points), name, on: "airframe", airframeId, body: null };
}
