import { type NotedClip, notesInUse, withNote } from "./noted-clips.ts";
import { counterpartsKept, withOuting, withoutOuting } from "./outings.ts";
import type {
  Airframe,
  Camera,
  Launcher,
  ListedAirframe,
  ListedLauncher,
  Mark,
  NextShot,
  Outing,
  Point,
  Session,
  Shot,
  Site,
  Tuning,
} from "./schema.ts";
import type { Shelved } from "./shelf-schemas.ts";
import { shelvedInUse, thingsOf, withShelved } from "./shelved.ts";
import { type MarkSwap, withSwapped } from "./swap-marks.ts";
import {
  marksOnOwn,
  withAirframeOfShot,
  withoutAirframe,
  withoutCamera,
  withoutLauncher,
  withTuning,
} from "./thing-edits.ts";
import { tuningKept } from "./tuning-kept.ts";

/**
 * The fields of a shot that an edit may replace as a whole; marks and the airframe, whose points are marked,
 * have edits of their own.
 */
export type ShotPatch = Partial<Omit<Shot, "id" | "marks" | "airframeId">>;

/** Everything a person can do to a session. Each is plain data, so it can be logged, tested and replayed. */
export type Edit =
  | { readonly kind: "set-title"; readonly title: string }
  | { readonly kind: "set-units"; readonly units: Session["units"] }
  | { readonly kind: "set-site"; readonly site: Site | null }
  | { readonly kind: "add-shot"; readonly shot: Shot }
  | { readonly kind: "remove-shot"; readonly shotId: string }
  | { readonly kind: "update-shot"; readonly shotId: string; readonly patch: ShotPatch }
  | { readonly kind: "set-mark"; readonly shotId: string; readonly mark: Mark }
  | { readonly kind: "set-marks"; readonly shotId: string; readonly marks: readonly Mark[] }
  | {
      readonly kind: "remove-marks";
      readonly shotId: string;
      readonly pointId: string;
      readonly by: Mark["by"];
    }
  | {
      readonly kind: "remove-mark";
      readonly shotId: string;
      readonly pointId: string;
      readonly frame: number;
    }
  | { readonly kind: "swap-marks"; readonly shotId: string; readonly swaps: readonly MarkSwap[] }
  | { readonly kind: "add-point"; readonly point: Point }
  | { readonly kind: "update-point"; readonly pointId: string; readonly patch: Partial<Omit<Point, "id">> }
  | { readonly kind: "remove-point"; readonly pointId: string }
  | {
      readonly kind: "add-airframe";
      readonly airframe: ListedAirframe;
      /** Those that are on it. */
      readonly points: readonly Point[];
    }
  | { readonly kind: "update-airframe"; readonly airframeId: string; readonly patch: Partial<Airframe> }
  | { readonly kind: "choose-airframe"; readonly shotId: string; readonly airframeId: string }
  | {
      readonly kind: "remove-airframe";
      readonly airframeId: string;
      /** What its shots name from now on. */
      readonly insteadId: string;
    }
  | {
      readonly kind: "add-launcher";
      readonly launcher: ListedLauncher;
      /** Shots that name it from now on. */
      readonly shotIds: readonly string[];
    }
  | { readonly kind: "set-launcher"; readonly launcherId: string; readonly launcher: Launcher }
  | { readonly kind: "remove-launcher"; readonly launcherId: string }
  | { readonly kind: "set-tuning"; readonly launcherId: string; readonly tuning: Tuning | null }
  | { readonly kind: "set-next-shot"; readonly nextShot: NextShot | null }
  | { readonly kind: "note-clip"; readonly clip: NotedClip }
  | { readonly kind: "add-camera"; readonly camera: Camera }
  | {
      readonly kind: "update-camera";
      readonly cameraId: string;
      readonly patch: Partial<Omit<Camera, "id">>;
    }
  | { readonly kind: "remove-camera"; readonly cameraId: string }
  | { readonly kind: "note-shelved"; readonly shelved: Shelved }
  /** Adds an outing, or puts it in the place of the one of its id. */
  | { readonly kind: "set-outing"; readonly outing: Outing }
  | { readonly kind: "remove-outing"; readonly outingId: string };

/**
 * Applies one edit and returns a new session; the given one is left as it was, and parts the edit does not
 * touch are the same objects. Setting a mark replaces an earlier mark of the same point in the same frame;
 * marks stay ordered by frame, then point. Removing a point removes its marks and a centre of gravity that
 * refers to it. A shot that is given another airframe keeps its marks, on the points of the same names. Tuned
 * values are dropped when something they rest on changes; what was noted of a clip, when no shot uses it.
 * @throws RangeError when the edit names something that is not there, or adds an id twice: the caller's bug.
 *   The caller validates values with SessionSchema before saving.
 */
export function applyEdit(session: Session, edit: Edit): Session {
  return tuningKept(session, counterpartsKept(shelvedInUse(notesInUse(applied(session, edit)))));
}

function applied(session: Session, edit: Edit): Session {
  switch (edit.kind) {
    case "set-title":
      return { ...session, title: edit.title };
    case "set-units":
      return { ...session, units: edit.units };
    case "set-site": {
      const { site: _before, ...rest } = session;
      return edit.site === null ? rest : { ...rest, site: edit.site };
    }
    case "add-shot":
      mustBeNew(session.shots, edit.shot.id);
      return { ...session, shots: [...session.shots, edit.shot] };
    case "remove-shot":
      mustExist(session.shots, edit.shotId);
      return { ...session, shots: session.shots.filter((shot) => shot.id !== edit.shotId) };
    case "update-shot":
      return withShot(session, edit.shotId, (shot) => ({ ...shot, ...edit.patch }));
    case "set-mark":
      mustExist(session.points, edit.mark.pointId);
      return withShot(session, edit.shotId, (shot) => ({
        ...shot,
        marks: [...shot.marks.filter((mark) => !sameSlot(mark, edit.mark)), edit.mark].sort(byFrameThenPoint),
      }));
    case "set-marks": {
      for (const { pointId } of edit.marks) mustExist(session.points, pointId);
      const slot = ({ pointId, frame }: Slot) => `${frame} ${pointId}`;
      const taken = new Set(edit.marks.map(slot));
      return withShot(session, edit.shotId, (shot) => ({
        ...shot,
        marks: [...shot.marks.filter((mark) => !taken.has(slot(mark))), ...edit.marks].sort(byFrameThenPoint),
      }));
    }
    case "remove-marks":
      return withShot(session, edit.shotId, (shot) => ({
        ...shot,
        marks: shot.marks.filter((mark) => mark.pointId !== edit.pointId || mark.by !== edit.by),
      }));
    case "remove-mark":
      return withShot(session, edit.shotId, (shot) => {
        if (!shot.marks.some((mark) => sameSlot(mark, edit))) {
          throw new RangeError(`no mark of "${edit.pointId}" in frame ${edit.frame}`);
        }
        return { ...shot, marks: shot.marks.filter((mark) => !sameSlot(mark, edit)) };
      });
    case "swap-marks":
      return withShot(session, edit.shotId, (shot) => ({
        ...shot,
        marks: [...withSwapped(shot.marks, edit.swaps)].sort(byFrameThenPoint),
      }));
    case "add-point":
      mustBeNew(session.points, edit.point.id);
      return { ...session, points: [...session.points, edit.point] };
    case "update-point":
      return marksOnOwn({ ...session, points: withPoint(session, edit.pointId, edit.patch) });
    case "remove-point":
      return withoutPoint(session, edit.pointId);
    case "add-airframe":
      mustBeNew(session.airframes, edit.airframe.id);
      for (const { id } of edit.points) mustBeNew(session.points, id);
      return {
        ...session,
        airframes: [...session.airframes, edit.airframe],
        points: [...session.points, ...edit.points],
      };
    case "update-airframe":
      return { ...session, airframes: replaced(session.airframes, edit.airframeId, edit.patch) };
    case "choose-airframe":
      mustExist(session.shots, edit.shotId);
      mustExist(session.airframes, edit.airframeId);
      return withAirframeOfShot(session, edit.shotId, edit.airframeId);
    case "remove-airframe":
      mustExist(session.airframes, edit.airframeId);
      mustExist(session.airframes, edit.insteadId);
      return withoutAirframe(session, edit.airframeId, edit.insteadId);
    case "add-launcher":
      mustBeNew(session.launchers, edit.launcher.id);
      return {
        ...session,
        launchers: [...session.launchers, edit.launcher],
        shots: session.shots.map((shot) =>
          edit.shotIds.includes(shot.id) ? { ...shot, launcherId: edit.launcher.id } : shot,
        ),
      };
    case "set-launcher":
      mustExist(session.launchers, edit.launcherId);
      return {
        ...session,
        launchers: session.launchers.map((one) =>
          one.id === edit.launcherId ? { ...edit.launcher, id: one.id } : one,
        ),
      };
    case "remove-launcher":
      mustExist(session.launchers, edit.launcherId);
      return withoutLauncher(session, edit.launcherId);
    case "set-tuning":
      mustExist(session.launchers, edit.launcherId);
      return withTuning(session, edit.launcherId, edit.tuning);
    case "set-next-shot": {
      const { nextShot: _before, ...rest } = session;
      return edit.nextShot === null ? rest : { ...rest, nextShot: edit.nextShot };
    }
    case "note-clip":
      return withNote(session, edit.clip);
    case "add-camera":
      mustBeNew(session.cameras, edit.camera.id);
      return { ...session, cameras: [...session.cameras, edit.camera] };
    case "update-camera":
      return { ...session, cameras: replaced(session.cameras, edit.cameraId, edit.patch) };
    case "remove-camera":
      mustExist(session.cameras, edit.cameraId);
      return withoutCamera(session, edit.cameraId);
    case "note-shelved":
      mustExist(thingsOf(session, edit.shelved.of), edit.shelved.id);
      return withShelved(session, edit.shelved);
    case "set-outing":
      return withOuting(session, edit.outing);
    case "remove-outing":
      mustExist(session.outings ?? [], edit.outingId);
      return withoutOuting(session, edit.outingId);
  }
}

/** A point that is put on a rod, a post or a dropped object names no airframe. */
function withPoint(session: Session, pointId: string, patch: Partial<Omit<Point, "id">>): Point[] {
  return replaced(session.points, pointId, patch).map((point) =>
    point.id === pointId && point.on !== "airframe" ? { ...point, airframeId: null } : point,
  );
}

function withoutPoint(session: Session, pointId: string): Session {
  mustExist(session.points, pointId);
  const uses = ({ centreOfGravity: cg }: Airframe) =>
    cg?.fromPointId === pointId || cg?.towardPointId === pointId;
  return {
    ...session,
    points: session.points.filter((point) => point.id !== pointId),
    airframes: session.airframes.some(uses)
      ? session.airframes.map((one) => (uses(one) ? { ...one, centreOfGravity: null } : one))
      : session.airframes,
    shots: session.shots.map((shot) =>
      shot.marks.some((mark) => mark.pointId === pointId)
        ? { ...shot, marks: shot.marks.filter((mark) => mark.pointId !== pointId) }
        : shot,
    ),
  };
}

function withShot(session: Session, shotId: string, change: (shot: Shot) => Shot): Session {
  mustExist(session.shots, shotId);
  return { ...session, shots: session.shots.map((shot) => (shot.id === shotId ? change(shot) : shot)) };
}

function replaced<T extends { readonly id: string }>(
  all: readonly T[],
  id: string,
  patch: Partial<Omit<T, "id">>,
): T[] {
  mustExist(all, id);
  return all.map((one) => (one.id === id ? { ...one, ...patch } : one));
}

function mustExist(all: readonly { readonly id: string }[], id: string): void {
  if (!all.some((one) => one.id === id)) throw new RangeError(`no entry with the id "${id}"`);
}

function mustBeNew(all: readonly { readonly id: string }[], id: string): void {
  if (all.some((one) => one.id === id)) throw new RangeError(`there is already an entry with the id "${id}"`);
}

interface Slot {
  readonly pointId: string;
  readonly frame: number;
}

function sameSlot(a: Slot, b: Slot): boolean {
  return a.pointId === b.pointId && a.frame === b.frame;
}

function byFrameThenPoint(a: Slot, b: Slot): number {
  return a.frame - b.frame || (a.pointId < b.pointId ? -1 : a.pointId > b.pointId ? 1 : 0);
}
