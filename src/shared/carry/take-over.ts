import type { PxPoint } from "../quantity/point.ts";
import type { Edit, ShotPatch } from "../session/edits.ts";
import { freshShot } from "../session/fresh.ts";
import type {
  Conditions,
  ControlPoints,
  Level,
  Mark,
  Plumb,
  Scale,
  Session,
  Shot,
} from "../session/schema.ts";
import type { CameraBetween } from "./camera-between.ts";
import { clockOver } from "./carried-clock.ts";
import { settingOver } from "./carried-setting.ts";
import { type FoundPick, mayTake } from "./find-pick.ts";
import type { FoundSetUp } from "./find-set-up.ts";
import type { RatesBetween } from "./look-for-set-up.ts";
import { firstMark, type ShotPick, shotPicks } from "./sought-picks.ts";

/** What a person takes over of a found set-up. */
export interface Taking {
  readonly found: Pick<FoundSetUp, "frame" | "picks"> & {
    readonly camera: Pick<CameraBetween, "shiftPx" | "widthPx">;
  };
  /** Picks that are not sure, which the person looked at and takes all the same. */
  readonly accepted: ReadonlySet<string>;
  readonly rates: RatesBetween;
}

const FEWEST_CONTROL = 4;

/** The groups of picks that are taken over: those whose every pick is sure or was looked at. */
export function takenGroups(
  picks: readonly ShotPick[],
  {
    found,
    accepted,
  }: {
    readonly found: Pick<FoundSetUp, "picks">;
    readonly accepted: ReadonlySet<string>;
  },
): ReadonlySet<string> {
  const sure = new Set(found.picks.filter((pick) => isTaken(pick, accepted)).map(({ id }) => id));
  const groups = new Set(picks.map(({ group }) => group));
  for (const { id, group } of picks) {
    // Known points count one by one, as long as there are enough of them.
    if (!sure.has(id) && group !== "control") groups.delete(group);
  }
  const known = picks.filter(({ id, group }) => group === "control" && sure.has(id));
  if (known.length < FEWEST_CONTROL) groups.delete("control");
  return groups;
}

/**
 * The edits that take over a former shot's set-up: camera, clock, airframe, launcher, direction and how
 * release is found as they are, and the air but for what was typed for this shot; picks where they were found
 * again; each point as a hand mark at rest. A pick's u is its own and that of finding it again, and what it
 * was before stays with it, so that the part of its error that both shots share is known as one. What the
 * camera may have been turned by against the flight is added to the u of its turn. Gauge
 * pressure, and what is of one clip alone (repeated and lost frames, parts of the clock, a movement of the
 * camera, a release that was seen), are not taken over.
 * @throws RangeError when one of the shots is not there: the caller's bug
 */
export function takeOverEdits(
  session: Session,
  shotId: string,
  asShotId: string,
  taking: Taking,
): readonly Edit[] {
  const [shot, former] = [shotOf(session, shotId), shotOf(session, asShotId)];
  const picks = shotPicks(session, former);
  const groups = takenGroups(picks, taking);
  const { frame } = taking.found;
  const places = new Map(taking.found.picks.map((pick) => [pick.id, pick]));
  const foundOf = (id: string) => {
    const pick = places.get(id);
    return pick !== undefined && isTaken(pick, taking.accepted) ? pick : undefined;
  };
  const placed = { frame, foundOf, groups };
  const setting = settingOver(session, former, taking.found.camera);
  const patch: ShotPatch = {
    launcherId: former.launcherId,
    cameraId: former.cameraId,
    conditions: airOver(former.conditions, shot.conditions),
    ...clockOver(former.clock, taking.rates),
    ...placesOf(former, placed),
    ...(setting && { setting }),
    release: former.release.by === "person" ? { by: "change-point" } : former.release,
    direction: former.direction,
  };
  const marks = picks
    .filter(({ group }) => group.startsWith(POINT) && groups.has(group))
    .flatMap(({ id }) => restMark(former, id.slice(POINT.length), foundOf(id), frame));
  return [
    ...(shot.airframeId === former.airframeId
      ? []
      : [{ kind: "choose-airframe", shotId, airframeId: former.airframeId } as const]),
    { kind: "update-shot", shotId, patch },
    ...(marks.length === 0 ? [] : [{ kind: "set-marks", shotId, marks } as const]),
  ];
}

/** The air of the former shot, but for what was typed for this one. Its tank is its own. */
function airOver(former: Conditions, own: Conditions): Conditions {
  const fresh = Object.entries(freshShot("shot", "", null).conditions);
  const guessed = new Map(fresh.map(([name, value]) => [name, JSON.stringify(value)]));
  const typed = Object.entries(own).filter(
    ([name, value]) => value != null && JSON.stringify(value) !== guessed.get(name),
  );
  const { gaugePressurePa: _filled, tankTemperatureK: _warmed, ...air } = former;
  return { ...air, gaugePressurePa: null, ...Object.fromEntries(typed) };
}

function isTaken(pick: FoundPick, accepted: ReadonlySet<string>): boolean {
  return pick.doubt === null || (accepted.has(pick.id) && mayTake(pick));
}

const POINT = "point.";

interface Placed {
  readonly frame: number;
  /** A pick that is taken over. */
  foundOf(id: string): FoundPick | undefined;
  readonly groups: ReadonlySet<string>;
}

function placesOf(former: Shot, placed: Placed): ShotPatch {
  const { groups } = placed;
  const rods = (former.rods ?? []).flatMap((rod, i) => rodAt(rod, `rods.${i}`, placed));
  const [scale] = former.scale === null ? [] : rodAt(former.scale, "scale", placed);
  const plumb = former.plumb !== null && groups.has("plumb") ? plumbAt(former.plumb, placed) : null;
  const level = former.level !== undefined && groups.has("level") ? levelAt(former.level, placed) : undefined;
  const control =
    former.control !== undefined && groups.has("control") ? controlAt(former.control, placed) : undefined;
  return {
    scale: scale ?? null,
    plumb,
    ...(rods.length > 0 && { rods }),
    ...(level && { level }),
    ...(control && { control }),
  };
}

function rodAt(
  { snapped: _now, ...rod }: Scale,
  id: string,
  { frame, foundOf, groups }: Placed,
): readonly Scale[] {
  const [a, b] = [foundOf(`${id}.a`), foundOf(`${id}.b`)];
  if (!groups.has(id) || a === undefined || b === undefined) return [];
  const carried = rod.carried ?? { a: rod.a, b: rod.b, uPx: rod.uPx };
  return [
    { ...rod, a: px(a.at), b: px(b.at), aFrame: frame, bFrame: frame, uPx: withU(rod.uPx, a, b), carried },
  ];
}

function plumbAt(plumb: Plumb, { frame, foundOf }: Placed): Plumb | null {
  const [top, bottom] = [foundOf("plumb.top"), foundOf("plumb.bottom")];
  if (top === undefined || bottom === undefined) return null;
  const carried = plumb.carried ?? { top: plumb.top, bottom: plumb.bottom, uPx: plumb.uPx };
  const frames = { topFrame: frame, bottomFrame: frame };
  return {
    ...plumb,
    ...frames,
    top: px(top.at),
    bottom: px(bottom.at),
    uPx: withU(plumb.uPx, top, bottom),
    carried,
  };
}

function levelAt(level: Level, { frame, foundOf }: Placed): Level | undefined {
  const [left, right] = [foundOf("level.left"), foundOf("level.right")];
  if (left === undefined || right === undefined) return undefined;
  const carried = level.carried ?? { left: level.left, right: level.right, uPx: level.uPx };
  const frames = { leftFrame: frame, rightFrame: frame };
  return {
    ...level,
    ...frames,
    left: px(left.at),
    right: px(right.at),
    uPx: withU(level.uPx, left, right),
    carried,
  };
}

/** Known points that are not sure are left out; the others go on with what they are known to be. */
function controlAt({ uPx, uM, points }: ControlPoints, { frame, foundOf }: Placed): ControlPoints {
  const found = points.flatMap((point, i) => {
    const one = foundOf(`control.${i}`);
    return one === undefined ? [] : [{ point, one }];
  });
  return {
    uM,
    uPx: withU(uPx, ...found.map(({ one }) => one)),
    points: found.map(({ point, one }) => ({
      ...point,
      at: px(one.at),
      frame,
      carried: point.carried ?? { at: point.at, uPx },
    })),
  };
}

function restMark(
  former: Shot,
  pointId: string,
  found: FoundPick | undefined,
  frame: number,
): readonly Mark[] {
  const mark = firstMark(former, pointId);
  if (mark === null || found === undefined) return [];
  const [x, y] = px(found.at);
  return [{ pointId, frame, x, y, u: withU(handU(former, mark), found), by: "hand" }];
}

/** px: a follower's mark is as well placed as the hand marks that it was followed from. */
function handU({ marks }: Shot, mark: Mark): number {
  if (mark.by === "hand") return mark.u;
  const hands = marks.filter(({ pointId, by }) => pointId === mark.pointId && by === "hand");
  const weight = hands.reduce((sum, { u }) => sum + 1 / u ** 2, 0);
  return weight > 0 ? Math.hypot(mark.u, 1 / Math.sqrt(weight)) : mark.u;
}

/** px: the picks' own u and that of finding the least certain of them again. */
function withU(uPx: number, ...found: readonly FoundPick[]): number {
  const again = Math.max(0, ...found.map((one) => one.uPx));
  return Math.round(Math.hypot(uPx, again) * 1000) / 1000;
}

/** To a hundredth of a pixel, as picks are. */
function px([x, y]: PxPoint): [number, number] {
  return [Math.round(x * 100) / 100, Math.round(y * 100) / 100];
}

function shotOf({ shots }: Session, id: string): Shot {
  const shot = shots.find((one) => one.id === id);
  if (shot === undefined) throw new RangeError(`takeOverEdits: no shot "${id}"`);
  return shot;
}
