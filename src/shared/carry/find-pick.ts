import { offsetOf, placed } from "../follow/anchor.ts";
import { findTemplate, type Sought } from "../follow/find-template.ts";
import type { GreyImage } from "../follow/grey-image.ts";
import type { Match } from "../follow/match-template.ts";
import { placeCovariance } from "../follow/place-covariance.ts";
import { FLOOR_PX } from "../follow/run-marks.ts";
import { seedDisc } from "../follow/seed-disc.ts";
import { twinDistance } from "../follow/twins.ts";
import { carried } from "../numeric/covariance.ts";
import type { PxPoint } from "../quantity/point.ts";
import { lineShift } from "./line-shift.ts";

/** A pick of a former clip that is looked for in another one. */
export interface SoughtPick {
  /** Names it among the others. */
  readonly id: string;
  /** The frame of the former clip that shows it. */
  readonly frame: number;
  readonly at: PxPoint;
  /**
   * place: it stands still in the scene. line: it is an end of a line, of which only the direction counts.
   * body: it is on what was put into the launcher again, and lies near where it lay.
   */
  readonly kind: "place" | "line" | "body";
  /** Of a line: its other end. */
  readonly otherEnd?: PxPoint;
}

/**
 * Why a place is not sure. no-detail: its picture fixes no place. outside: it lies outside the other picture.
 * not-found: nothing there looks like it. two-alike: two things do, `px` apart. moved: it is found, `px` off
 * where the camera's movement puts it. apart: its distance from another point of the body is another by `px`.
 */
export interface PickDoubt {
  readonly why: "no-detail" | "outside" | "not-found" | "two-alike" | "moved" | "apart";
  readonly px: number;
}

export interface FoundPick {
  readonly id: string;
  /** px, where it is found, or else where the camera's movement alone puts it. */
  readonly at: PxPoint;
  /** px, standard uncertainty of each coordinate that finding it again brings. */
  readonly uPx: number;
  /** Null where it is sure. */
  readonly doubt: PickDoubt | null;
  /** What puts it there: its own picture, or the camera's movement alone; nothing: it may be anywhere. */
  readonly by: "picture" | "camera" | "nothing";
}

/** Whether a pick that is not sure can be taken all the same: something says where it is. */
export function mayTake({ by }: FoundPick): boolean {
  return by !== "nothing";
}

/** Where a pick is to be looked for. */
export interface ExpectedPick {
  readonly at: PxPoint;
  /** rad, by which its picture has turned. */
  readonly turnRad: number;
  /** px, of each coordinate. */
  readonly uPx: number;
}

const HALF_PX = 0.5; // a session's pixel counts from the corner, a sample from the middle
const NEAR = 5; // samples; what stands still lies so near to where the background puts it
const FAR = 24; // samples; one that was moved by so little is found, and its move is told
const BODY_NEAR = 8;
const BODY_FAR = 64; // samples: another shot's airframe lies so near to where the former one lay
const STILL_PX = 2; // besides 4 u: what lies nearer to the camera than the background may move by
const NEARER_U_PX = STILL_PX / Math.sqrt(3); // anywhere within it
const TIMES_U = 4; // one honest place in 3000 lies farther off in the plane
const TWIN_SHARE = 4; // of the way to its twin, that a body may have moved

/**
 * Finds one pick again by its picture: the disc about it that fixes a place, looked for about where it is
 * expected. Two witnesses must agree: what stands still is sure only where its own picture and the movement
 * of the camera say the same.
 */
export function findPick(
  former: GreyImage,
  now: GreyImage,
  pick: SoughtPick,
  expected: ExpectedPick,
): FoundPick {
  const unfound = (why: PickDoubt["why"], px = 0): FoundPick => ({
    id: pick.id,
    at: expected.at,
    uPx: Math.hypot(expected.uPx, NEARER_U_PX),
    doubt: { why, px },
    // What is not found may be gone, and a body is not where it was.
    by: pick.kind !== "body" && (why === "no-detail" || why === "two-alike") ? "camera" : "nothing",
  });
  const [x, y] = expected.at;
  if (x < 0 || y < 0 || x > now.width || y > now.height) return unfound("outside");
  if (pick.kind === "line") return findLineEnd(former, now, pick, expected, unfound);
  const sought = seedDisc(former, middleOf(pick.at), null);
  if (typeof sought === "string") return unfound("no-detail");
  const isBody = pick.kind === "body";
  const offset = offsetOf({ ...warpOf(sought), theta: 0 }, samplesOf(pick.at));
  const start = startOf(sought, pick, expected);
  const [near, far] = isBody ? [BODY_NEAR, BODY_FAR] : [NEAR, FAR];
  const found = findTemplate(sought, now, [start], near, far);
  if (!("match" in found)) {
    if (found.why === "two-alike") return unfound("two-alike", found.number);
    return unfound(found.why === "left" ? "outside" : "not-found");
  }
  const { match } = found;
  const [px, py] = placed(match, offset);
  const at: PxPoint = [px + HALF_PX, py + HALF_PX];
  const uPx = uOf(sought, match, offset);
  const offPx = Math.hypot(at[0] - x, at[1] - y);
  if (isBody) {
    const none = Number.POSITIVE_INFINITY;
    const twinPx = Math.min(
      twinDistance(sought, former, BODY_FAR) ?? none,
      twinDistance(sought, now, BODY_FAR, match) ?? none,
    );
    const isPlain = offPx <= Math.max(STILL_PX, twinPx / TWIN_SHARE);
    const doubt: PickDoubt | null = isPlain ? null : { why: "two-alike", px: twinPx };
    return { id: pick.id, at, uPx, doubt, by: "picture" };
  }
  const isStill = offPx <= Math.max(STILL_PX, TIMES_U * Math.hypot(uPx, expected.uPx));
  return { id: pick.id, at, uPx, doubt: isStill ? null : { why: "moved", px: offPx }, by: "picture" };
}

/** An end of a line: its picture tells only how far it has moved across, and no more is asked of it. */
function findLineEnd(
  former: GreyImage,
  now: GreyImage,
  pick: SoughtPick,
  expected: ExpectedPick,
  unfound: (why: PickDoubt["why"], px?: number) => FoundPick,
): FoundPick {
  const [ox, oy] = pick.otherEnd ?? pick.at;
  const alongRad = Math.atan2(oy - pick.at[1], ox - pick.at[0]);
  const turned = alongRad + expected.turnRad;
  const shift = lineShift(former, { from: samplesOf(pick.at), alongRad }, now, {
    from: samplesOf(expected.at),
    alongRad: turned,
  });
  if (typeof shift === "string") return unfound(shift);
  const { across } = shift;
  const [x, y] = expected.at;
  const at: PxPoint = [x - across * Math.sin(turned), y + across * Math.cos(turned)];
  const uPx = Math.hypot(shift.u, FLOOR_PX);
  const isStill = Math.abs(across) <= Math.max(STILL_PX, TIMES_U * Math.hypot(uPx, expected.uPx));
  const doubt: PickDoubt | null = isStill ? null : { why: "moved", px: Math.abs(across) };
  return { id: pick.id, at, uPx, doubt, by: "picture" };
}

function middleOf(at: PxPoint): readonly [number, number] {
  const [x, y] = samplesOf(at);
  return [Math.round(x), Math.round(y)];
}

function samplesOf([x, y]: PxPoint): PxPoint {
  return [x - HALF_PX, y - HALF_PX];
}

function warpOf({ template: { middle } }: Sought) {
  return { x: middle[0], y: middle[1] };
}

/**
 * Where the template's middle is expected: as far from the expected place as it lies from the pick, turned.
 */
function startOf(sought: Sought, pick: SoughtPick, { at, turnRad }: ExpectedPick) {
  const [dx, dy] = offsetOf({ ...warpOf(sought), theta: 0 }, samplesOf(pick.at));
  const [c, s] = [Math.cos(turnRad), Math.sin(turnRad)];
  const [x, y] = samplesOf(at);
  return { x: x - (c * dx - s * dy), y: y - (s * dx + c * dy), theta: turnRad };
}

function uOf({ template }: Sought, match: Match, offset: readonly [number, number]): number {
  const [x, y] = placed({ ...match, x: 0, y: 0 }, offset);
  const [xx = 0, , yy = 0] = carried([1, 0, -y, 0, 1, x], placeCovariance(template, match), 3);
  return Math.hypot(Math.sqrt((xx + yy) / 2), FLOOR_PX);
}
