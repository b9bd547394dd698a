import type { Edit } from "../session/edits.ts";
import { unusedId } from "../session/fresh.ts";
import { sameJson } from "../session/patch.ts";
import type { Camera, Point, Session, Tuning } from "../session/schema.ts";
import {
  newest,
  type ShelfAirframe,
  type ShelfCamera,
  type ShelfEntry,
  type ShelfLauncher,
} from "./shelf-schema.ts";

/** Edits that bring a thing into a session, and the id it has there. */
export interface Taking {
  readonly id: string;
  readonly edits: readonly Edit[];
}

/**
 * Edits that add the newest edition of an entry to a session and give it to some shots. The first launcher of
 * a session is also that of every shot that names none.
 */
export function taking(session: Session, entry: ShelfEntry, shotIds: readonly string[]): Taking {
  const { thing, edition } = newest(entry);
  const { id, edits } = {
    airframe: () => airframeTaken(session, thing as ShelfAirframe, shotIds),
    launcher: () => launcherTaken(session, thing as ShelfLauncher, shotIds),
    camera: () => cameraTaken(session, thing as ShelfCamera, shotIds),
  }[thing.of]();
  return {
    id,
    edits: [...edits, { kind: "note-shelved", shelved: { of: thing.of, id, shelfId: entry.id, edition } }],
  };
}

/** The id of what a session took from an entry of the shelf, or kept there; null where it has none. */
export function takenBefore({ shelved }: Pick<Session, "shelved">, entry: ShelfEntry): string | null {
  const { of } = newest(entry).thing;
  return shelved?.find((one) => one.of === of && one.shelfId === entry.id)?.id ?? null;
}

/** Edits that give shots what the session has of an entry already. @param id of it in the session */
export function giving(entry: ShelfEntry, id: string, shotIds: readonly string[]): readonly Edit[] {
  return shotIds.map((shotId): Edit => {
    const { of } = newest(entry).thing;
    if (of === "airframe") return { kind: "choose-airframe", shotId, airframeId: id };
    const patch = of === "launcher" ? { launcherId: id } : { cameraId: id };
    return { kind: "update-shot", shotId, patch };
  });
}

/**
 * Edits that put the newest edition of an entry in the place of what the session has of it: every number as
 * the shelf has it. Marks stay; points go by their names, and points that the shelf does not know stay.
 * @param id of the thing in the session, which is of the entry's kind
 */
export function takingAgain(session: Session, entry: ShelfEntry, id: string): Taking {
  const { thing, edition } = newest(entry);
  const edits = {
    airframe: () => airframeAgain(session, thing as ShelfAirframe, id),
    launcher: () => launcherEdits(thing as ShelfLauncher, id),
    camera: () => cameraAgain(session, thing as ShelfCamera, id),
  }[thing.of]();
  return {
    id,
    edits: [...edits, { kind: "note-shelved", shelved: { of: thing.of, id, shelfId: entry.id, edition } }],
  };
}

function airframeTaken(
  session: Session,
  { airframe, points }: ShelfAirframe,
  shotIds: readonly string[],
): Taking {
  const id = unusedId("airframe", session.airframes);
  const own: Point[] = [];
  const ids = new Map<string, string>();
  for (const { id: was, name, body } of points) {
    const pointId = unusedId("point", [...session.points, ...own]);
    ids.set(was, pointId);
    own.push({ id: pointId, name, on: "airframe", airframeId: id, body });
  }
  const added = { ...airframe, id, centreOfGravity: balanceBy(airframe, ids) };
  return {
    id,
    edits: [
      { kind: "add-airframe", airframe: added, points: own },
      ...shotIds.map((shotId) => ({ kind: "choose-airframe", shotId, airframeId: id }) as const),
    ],
  };
}

function airframeAgain(session: Session, { airframe, points }: ShelfAirframe, id: string): readonly Edit[] {
  const edits: Edit[] = [];
  const ids = new Map<string, string>();
  const added: Point[] = [];
  for (const { id: was, name, body } of points) {
    const own = session.points.find((one) => one.airframeId === id && one.name === name);
    if (own === undefined) {
      const pointId = unusedId("point", [...session.points, ...added]);
      const point: Point = { id: pointId, name, on: "airframe", airframeId: id, body };
      added.push(point);
      edits.push({ kind: "add-point", point });
    } else if (!sameJson(own.body, body)) {
      edits.push({ kind: "update-point", pointId: own.id, patch: { body } });
    }
    ids.set(was, own?.id ?? (added.at(-1) as Point).id);
  }
  const { id: _id, ...before } = session.airframes.find((one) => one.id === id) ?? { id };
  const patch = { ...cleared(before), ...airframe, centreOfGravity: balanceBy(airframe, ids) };
  return [...edits, { kind: "update-airframe", airframeId: id, patch }];
}

function balanceBy(
  { centreOfGravity: balance }: ShelfAirframe["airframe"],
  ids: ReadonlyMap<string, string>,
): ShelfAirframe["airframe"]["centreOfGravity"] {
  const named = (pointId: string) => ids.get(pointId) ?? pointId;
  return (
    balance && {
      ...balance,
      fromPointId: named(balance.fromPointId),
      towardPointId: named(balance.towardPointId),
    }
  );
}

function launcherTaken(session: Session, thing: ShelfLauncher, given: readonly string[]): Taking {
  const id = unusedId("launcher", session.launchers);
  const unnamed = session.shots.filter(({ launcherId }) => launcherId === null).map((shot) => shot.id);
  const shotIds = session.launchers.length === 0 ? [...unnamed, ...given] : [...given];
  return {
    id,
    edits: [
      { kind: "add-launcher", launcher: { ...thing.launcher, id }, shotIds },
      ...tuningEdits(thing, id).filter(({ tuning }) => tuning !== null),
    ],
  };
}

function launcherEdits(thing: ShelfLauncher, launcherId: string): readonly Edit[] {
  return [{ kind: "set-launcher", launcherId, launcher: thing.launcher }, ...tuningEdits(thing, launcherId)];
}

function tuningEdits(
  { tuning }: ShelfLauncher,
  launcherId: string,
): readonly { readonly kind: "set-tuning"; readonly launcherId: string; readonly tuning: Tuning | null }[] {
  const taken = tuning && { ...tuning, shotIds: [], heldOutShotIds: [] };
  return [{ kind: "set-tuning", launcherId, tuning: taken }];
}

/** A camera brings its rate to a shot that has none yet. */
function cameraTaken(session: Session, { camera }: ShelfCamera, shotIds: readonly string[]): Taking {
  const id = unusedId("camera", session.cameras);
  const { captureRateHz } = camera;
  const given = session.shots.filter((shot) => shotIds.includes(shot.id));
  return {
    id,
    edits: [
      { kind: "add-camera", camera: { ...camera, id } },
      ...given.map(({ id: shotId, clock }) => {
        const rate = clock === null ? { clock: { kind: "capture-rate" as const, captureRateHz } } : {};
        return { kind: "update-shot", shotId, patch: { cameraId: id, ...rate } } as const;
      }),
    ],
  };
}

function cameraAgain({ cameras }: Session, { camera }: ShelfCamera, id: string): readonly Edit[] {
  const { id: _id, ...before } = cameras.find((one) => one.id === id) ?? { id };
  return [{ kind: "update-camera", cameraId: id, patch: { ...cleared<Camera>(before), ...camera } }];
}

/** What takes every field away: one that the shelf's thing does not have must not stay. */
function cleared<T extends object>(before: object): Partial<T> {
  return Object.fromEntries(Object.keys(before).map((key) => [key, undefined])) as Partial<T>;
}
