import { elementAt } from "../quantity/known-element.ts";
import type { PxPoint } from "../quantity/point.ts";
import type { Mark, Point, Session, Shot } from "../session/schema.ts";
import { pointsOf } from "../session/what-took-part.ts";
import type { SoughtPick } from "./find-pick.ts";

/** A pick of a shot that another one may take over. */
export interface ShotPick extends SoughtPick {
  /** What it is, for a person: "one end of the rod", "nose". */
  readonly says: string;
  /**
   * What it is taken over with, all or nothing: "scale", "rods.0", "plumb", "level", "control",
   * "point.nose".
   */
  readonly group: string;
}

interface LineEnd {
  readonly end: string;
  readonly at: PxPoint;
  readonly frame: number | undefined;
}

/**
 * Everything that was picked or marked of a shot's set-up: what stands still, and the points of the airframe,
 * the launcher's rod and posts where they are first marked, which is at rest. What falls is of its own shot.
 */
export function shotPicks(session: Pick<Session, "points">, shot: Shot): readonly ShotPick[] {
  const first = Math.min(...shot.marks.map(({ frame }) => frame));
  const usual = Number.isFinite(first) ? first : 0;
  const pick = (id: string, group: string, says: string, at: PxPoint, frame: number | undefined) =>
    ({ id, group, says, at, frame: frame ?? usual, kind: "place" }) satisfies ShotPick;
  const line = (group: "plumb" | "level", ...ends: readonly [LineEnd, LineEnd]): readonly ShotPick[] =>
    ends.map(({ end, at, frame }, i) => ({
      ...pick(`${group}.${end}`, group, `the ${end} of the ${group}`, at, frame),
      kind: "line",
      otherEnd: elementAt(ends, 1 - i).at,
    }));
  const { scale, plumb, level, control } = shot;
  const rods = [
    ...(scale === null ? [] : [{ id: "scale", name: "the rod", rod: scale }]),
    ...(shot.rods ?? []).map((rod, i) => ({ id: `rods.${i}`, name: `rod ${i + 2}`, rod })),
  ];
  return [
    ...rods.flatMap(({ id, name, rod }) => [
      pick(`${id}.a`, id, `one end of ${name}`, rod.a, rod.aFrame),
      pick(`${id}.b`, id, `the other end of ${name}`, rod.b, rod.bFrame),
    ]),
    ...(plumb === null
      ? []
      : line(
          "plumb",
          { end: "top", at: plumb.top, frame: plumb.topFrame },
          { end: "bottom", at: plumb.bottom, frame: plumb.bottomFrame },
        )),
    ...(level === undefined
      ? []
      : line(
          "level",
          { end: "left", at: level.left, frame: level.leftFrame },
          { end: "right", at: level.right, frame: level.rightFrame },
        )),
    ...(control?.points ?? []).map(({ at, frame }, i) =>
      pick(`control.${i}`, "control", `known point ${i + 1}`, at, frame),
    ),
    ...pointsOf(session.points, shot.airframeId).flatMap((point) => pointPick(point, shot)),
  ];
}

function pointPick({ id, name, on }: Point, shot: Shot): readonly ShotPick[] {
  if (on === "dropped") return [];
  const mark = firstMark(shot, id);
  if (mark === null) return [];
  const kind = on === "post" ? "place" : "body";
  const group = `point.${id}`;
  return [{ id: group, group, says: `the ${name}`, at: [mark.x, mark.y], frame: mark.frame, kind }];
}

/** The earliest mark of a point; null without any. */
export function firstMark({ marks }: Shot, pointId: string): Mark | null {
  return marks.reduce<Mark | null>(
    (first, mark) =>
      mark.pointId === pointId && (first === null || mark.frame < first.frame) ? mark : first,
    null,
  );
}

/** Whether a shot has a set-up that others can be made as: a scale, and points that are marked. */
export function hasSetUp({ scale, control, clock, marks }: Shot): boolean {
  return (scale !== null || control !== undefined) && clock !== null && marks.length > 0;
}

/** Whether nothing was said of a shot's set-up yet. */
export function isBare({ scale, control, plumb, level, rods, clock, marks }: Shot): boolean {
  const nothing = scale === null && control === undefined && plumb === null && level === undefined;
  return nothing && (rods ?? []).length === 0 && clock === null && marks.length === 0;
}

/** Whether a shot's scale was itself carried over: another shot of the day has it as it was picked. */
function isCarried({ scale, control }: Shot): boolean {
  return (
    scale?.carried !== undefined || control?.points.some(({ carried }) => carried !== undefined) === true
  );
}

/**
 * The shots that one may be made as, the likeliest first: those whose set-up was picked by hand before those
 * that have it of another, and the nearest before it in the order of the day.
 */
export function likelyModels({ shots }: Pick<Session, "shots">, shot: Shot): readonly Shot[] {
  const at = shots.findIndex(({ id }) => id === shot.id);
  const rank = (one: Shot) => {
    const by = at - shots.indexOf(one);
    const camera = one.cameraId === shot.cameraId || shot.cameraId === null ? 0 : 4;
    return camera + (isCarried(one) ? 2 : 0) + (by > 0 ? 0 : 1) + Math.abs(by) / (shots.length + 1);
  };
  return shots
    .filter((one) => one.id !== shot.id && one.clip !== null && one.clip !== shot.clip && hasSetUp(one))
    .sort((a, b) => rank(a) - rank(b));
}
