import type { Heading } from "../quantity/notice.ts";
import type { Edit, ShotPatch } from "./edits.ts";
import type { Mark, Session } from "./schema.ts";
import { thingsOf } from "./shelved.ts";

/** Where in the window a change is seen. */
export interface EditPlace {
  readonly shotId: string | null;
  readonly frame: number | null;
  /** The heading of the ledger that shows it; null where none does. */
  readonly heading: Heading | null;
}

/** What an edit did, for the list of changes and for undo. */
export interface EditWords {
  /** A clause without a full stop, e.g. "Marked the nose in frame 12 of Shot 1". */
  readonly says: string;
  readonly place: EditPlace;
}

const NOWHERE: EditPlace = { shotId: null, frame: null, heading: null };

/**
 * Says what an edit does to a session, and where that is seen. @param session the document before the edit
 */
export function wordsOfEdit(edit: Edit, session: Session): EditWords {
  const shotName = (id: string) => session.shots.find((shot) => shot.id === id)?.name ?? id;
  const pointName = (id: string) => session.points.find((point) => point.id === id)?.name ?? id;
  const airframeName = (id: string) => session.airframes.find((one) => one.id === id)?.name || "the airframe";
  const launcherName = (id: string) => session.launchers.find((one) => one.id === id)?.name || "the launcher";
  const cameraName = (id: string) => session.cameras.find((camera) => camera.id === id)?.name ?? id;
  switch (edit.kind) {
    case "set-title":
      return { says: `Named the outing "${edit.title}"`, place: NOWHERE };
    case "set-units":
      return { says: `Changed the units to ${edit.units === "SI" ? "SI" : "ft, psi, g"}`, place: NOWHERE };
    case "set-site":
      return { says: "Changed where the field is", place: { ...NOWHERE, heading: "clock" } };
    case "add-shot":
      return {
        says: `Added ${edit.shot.name}`,
        place: { shotId: edit.shot.id, frame: null, heading: "clip" },
      };
    case "remove-shot":
      return {
        says: `Removed ${shotName(edit.shotId)}`,
        place: { shotId: edit.shotId, frame: null, heading: "clip" },
      };
    case "update-shot":
      return wordsOfPatch(edit.patch, edit.shotId, shotName(edit.shotId));
    case "set-mark": {
      const { pointId, frame } = edit.mark;
      const was = marksOf(session, edit.shotId).find((mark) => slotOf(mark) === slotOf(edit.mark));
      return {
        says: `${verbOf(was, edit.mark)} the ${pointName(pointId)} in frame ${frame} of ${shotName(edit.shotId)}`,
        place: { shotId: edit.shotId, frame, heading: "marks" },
      };
    }
    case "set-marks":
      return wordsOfMarks(edit.marks, session, edit.shotId, shotName(edit.shotId), pointName);
    case "remove-marks":
      return {
        says: `Removed the ${edit.by === "hand" ? "hand" : "followed"} marks of the ${pointName(edit.pointId)} in ${shotName(edit.shotId)}`,
        place: { shotId: edit.shotId, frame: null, heading: "marks" },
      };
    case "remove-mark":
      return {
        says: `Removed the mark of the ${pointName(edit.pointId)} in frame ${edit.frame} of ${shotName(edit.shotId)}`,
        place: { shotId: edit.shotId, frame: edit.frame, heading: "marks" },
      };
    case "swap-marks": {
      const [first] = edit.swaps;
      const points = first === undefined ? "points" : first.pointIds.map(pointName).join(" and ");
      const where = edit.swaps.length === 1 ? `frame ${first?.frame}` : `${edit.swaps.length} frames`;
      return {
        says: `Swapped ${points} in ${where} of ${shotName(edit.shotId)}`,
        place: { shotId: edit.shotId, frame: first?.frame ?? null, heading: "marks" },
      };
    }
    case "add-point":
      return { says: `Added the point ${edit.point.name}`, place: { ...NOWHERE, heading: "marks" } };
    case "update-point":
      return {
        says: `Changed the point ${pointName(edit.pointId)}`,
        place: { ...NOWHERE, heading: "marks" },
      };
    case "remove-point":
      return {
        says: `Removed the point ${pointName(edit.pointId)} and its marks`,
        place: { ...NOWHERE, heading: "marks" },
      };
    case "add-airframe":
      return { says: `Added the airframe ${edit.airframe.name}`, place: { ...NOWHERE, heading: "model" } };
    case "update-airframe":
      return {
        says: `Changed ${ofSeveral("the airframe", session.airframes, edit.airframeId)}`,
        place: { ...NOWHERE, heading: "model" },
      };
    case "choose-airframe":
      return {
        says: `Gave ${shotName(edit.shotId)} the airframe ${airframeName(edit.airframeId)}`,
        place: { shotId: edit.shotId, frame: null, heading: "model" },
      };
    case "remove-airframe":
      return {
        says: `Removed the airframe ${airframeName(edit.airframeId)}; its shots have ${airframeName(edit.insteadId)}`,
        place: { ...NOWHERE, heading: "model" },
      };
    case "add-launcher":
      return {
        says:
          edit.launcher.name === "" ? "Described the launcher" : `Added the launcher ${edit.launcher.name}`,
        place: { ...NOWHERE, heading: "model" },
      };
    case "set-launcher":
      return {
        says: `Changed ${ofSeveral("the launcher", session.launchers, edit.launcherId)}`,
        place: { ...NOWHERE, heading: "model" },
      };
    case "remove-launcher":
      return {
        says: `Removed ${ofSeveral("the launcher", session.launchers, edit.launcherId)}`,
        place: { ...NOWHERE, heading: "model" },
      };
    case "set-tuning": {
      const of = session.launchers.length < 2 ? "" : ` of ${launcherName(edit.launcherId)}`;
      return {
        says: edit.tuning === null ? `Dropped the tuning${of}` : `Changed the tuning${of}`,
        place: { ...NOWHERE, heading: "tuning" },
      };
    }
    case "set-next-shot":
      return { says: "Changed what the next shot should do", place: { ...NOWHERE, heading: "next-shot" } };
    case "note-clip":
      return { says: `Noted the content of ${edit.clip.name}`, place: { ...NOWHERE, heading: "clip" } };
    case "add-camera":
      return { says: `Added the camera ${edit.camera.name}`, place: { ...NOWHERE, heading: "clock" } };
    case "update-camera":
      return {
        says: `Changed the camera ${cameraName(edit.cameraId)}`,
        place: { ...NOWHERE, heading: "clock" },
      };
    case "remove-camera":
      return {
        says: `Removed the camera ${cameraName(edit.cameraId)}`,
        place: { ...NOWHERE, heading: "clock" },
      };
    case "set-outing": {
      const { id, title } = edit.outing;
      const known = session.outings?.some((one) => one.id === id) === true;
      return {
        says: `${known ? "Changed what is taken from" : "Named"} the outing ${title}`,
        place: { ...NOWHERE, heading: "tuning" },
      };
    }
    case "remove-outing": {
      const title = session.outings?.find(({ id }) => id === edit.outingId)?.title ?? edit.outingId;
      return { says: `Left out the outing ${title}`, place: { ...NOWHERE, heading: "tuning" } };
    }
    case "note-shelved": {
      const { of, id } = edit.shelved;
      const name = thingsOf(session, of).find((one) => one.id === id)?.name ?? "";
      return {
        says: `Noted where ${name === "" ? `the ${of}` : `the ${of} ${name}`} is on the shelf`,
        place: { ...NOWHERE, heading: of === "camera" ? "clock" : "model" },
      };
    }
  }
}

/** "the launcher", or by its name where there are several. */
function ofSeveral(
  what: string,
  list: readonly { readonly id: string; readonly name: string }[],
  id: string,
): string {
  const name = list.find((one) => one.id === id)?.name ?? "";
  return list.length < 2 || name === "" ? what : `${what} ${name}`;
}

/** What each field of a shot is called, and the heading that shows it. */
const SHOT_FIELDS: Readonly<Record<keyof ShotPatch, readonly [words: string, heading: Heading]>> = {
  name: ["the name", "clip"],
  clip: ["the clip", "clip"],
  launcherId: ["the launcher", "model"],
  cameraId: ["the camera", "clock"],
  conditions: ["the air and the pressure", "model"],
  clock: ["the clock", "clock"],
  scale: ["the scale", "scale"],
  rods: ["the further rods", "scale"],
  control: ["the known points", "scale"],
  setting: ["where the flight was", "scale"],
  plumb: ["the plumb", "scale"],
  level: ["the level", "scale"],
  movement: ["how the camera moved", "clip"],
  lamp: ["the lamp", "clock"],
  ball: ["the dropped object", "clock"],
  release: ["the release", "motion"],
  direction: ["the direction of flight", "clip"],
  altimeter: ["the altimeter", "model"],
  log: ["the log carried on board", "verdict"],
  notes: ["the notes", "clip"],
};

function wordsOfPatch(patch: ShotPatch, shotId: string, shotName: string): EditWords {
  const fields = (Object.keys(patch) as (keyof ShotPatch)[]).map((key) => SHOT_FIELDS[key]);
  const heading = fields[0]?.[1] ?? null;
  const place = { shotId, frame: null, heading };
  if (patch.name !== undefined) return { says: `Renamed ${shotName} to "${patch.name}"`, place };
  return { says: `Changed ${fields.map(([words]) => words).join(" and ")} of ${shotName}`, place };
}

function wordsOfMarks(
  marks: readonly Mark[],
  session: Session,
  shotId: string,
  shotName: string,
  pointName: (id: string) => string,
): EditWords {
  const points = [...new Set(marks.map((mark) => mark.pointId))].map(pointName);
  const frame = marks.length === 0 ? null : Math.min(...marks.map((mark) => mark.frame));
  const count = marks.length === 1 ? "1 mark" : `${marks.length} marks`;
  const place = { shotId, frame, heading: "marks" } as const;
  const were = new Map(marksOf(session, shotId).map((mark) => [slotOf(mark), mark]));
  if (marks.every((mark) => verbOf(were.get(slotOf(mark)), mark) === ONLY_U)) {
    return { says: `${ONLY_U} ${count} in ${shotName}`, place };
  }
  const verb = marks.every((mark) => mark.by === "follower") ? "Followed" : "Set";
  return { says: `${verb} the ${points.join(" and the ")} in ${shotName}: ${count}`, place };
}

const ONLY_U = "Changed the ± of";

function verbOf(was: Mark | undefined, mark: Mark): string {
  if (was === undefined) return "Marked";
  return was.x === mark.x && was.y === mark.y ? ONLY_U : "Moved";
}

function slotOf({ pointId, frame }: Mark): string {
  return `${frame} ${pointId}`;
}

function marksOf(session: Session, shotId: string): readonly Mark[] {
  return session.shots.find((shot) => shot.id === shotId)?.marks ?? [];
}
