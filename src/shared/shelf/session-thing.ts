import type { Session, Tuning } from "../session/schema.ts";
import type { ThingKind } from "../session/shelf-schemas.ts";
import { rangesTuned } from "../session/tested-range.ts";
import { tuningOf } from "../session/what-took-part.ts";
import type { ShelfLauncher, ShelfThing } from "./shelf-schema.ts";

/**
 * An airframe, a launcher or a camera of a session as the shelf keeps it: an airframe with its points, a
 * launcher with what it was tuned to and where that comes from.
 * @param outing what the outing is called
 * @returns null where the session has none of that id
 */
export function thingInSession(
  session: Session,
  of: ThingKind,
  id: string,
  outing: string,
): ShelfThing | null {
  switch (of) {
    case "airframe": {
      const found = session.airframes.find((one) => one.id === id);
      if (found === undefined) return null;
      const { id: _id, ...airframe } = found;
      const { fromPointId, towardPointId } = airframe.centreOfGravity ?? {};
      const points = session.points
        .filter((one) => one.airframeId === id || one.id === fromPointId || one.id === towardPointId)
        .map(({ id: pointId, name, body }) => ({ id: pointId, name, body }));
      return { of, airframe, points };
    }
    case "launcher": {
      const found = session.launchers.find((one) => one.id === id);
      if (found === undefined) return null;
      const { id: _id, ...launcher } = found;
      return { of, launcher, tuning: keptTuning(session, tuningOf(session, id), outing) };
    }
    case "camera": {
      const found = session.cameras.find((one) => one.id === id);
      if (found === undefined) return null;
      const { id: _id, ...camera } = found;
      return { of, camera };
    }
  }
}

/** Tuned values with where they come from: this outing, or the one that they came with. */
function keptTuning(session: Session, tuning: Tuning | undefined, outing: string): ShelfLauncher["tuning"] {
  if (tuning === undefined || tuning.tuned === null) return null;
  const { parameters, tuned, use, from, shotIds } = tuning;
  const shots = session.shots.filter(({ id }) => shotIds.includes(id)).map(({ name }) => name);
  const own = { outing, shots, tested: [...rangesTuned(session, tuning)] };
  return { parameters, tuned, use, from: from ?? own };
}
