import type { PlaneMark } from "../kinematics/body-shape.ts";
import type { PxPoint } from "../quantity/point.ts";
import { MARKS_NOTICES } from "../results/notices/marks-notices.ts";
import type { ShotNotice } from "../results/notices/shot-notices.ts";
import { type MetresByPixels, metresByPixels, metresPerPixel } from "../scale/picture-map.ts";
import { type Shake, shake } from "../scale/shake.ts";
import type { Mark, Point } from "../session/schema.ts";
import type { PictureOnPlane } from "./picture-plane.ts";
import type { ShotTiming } from "./shot-timing.ts";

/** Camera movement taken out of a shot; null when no post is marked. */
export interface Steadying {
  readonly shake: Shake | null;
  readonly notices: readonly ShotNotice[];
}

// rad, and relative zoom: what a hand or a stand in wind does within a clip. Common practice, no source.
const UNSEEN_TURN = 0.002;

/** Finds the camera's movement from the marks of posts. */
export function steadying(
  points: readonly Point[],
  marks: readonly Mark[],
  lens: Pick<PictureOnPlane, "straighten">,
): Steadying {
  const posts = new Set(points.filter((point) => point.on === "post").map((point) => point.id));
  const ofPosts = marks.filter((mark) => posts.has(mark.pointId));
  if (ofPosts.length === 0) return { shake: null, notices: [] };
  const found = shake({
    marks: ofPosts.map((mark) => ({
      postId: mark.pointId,
      frame: mark.frame,
      px: lens.straighten([mark.x, mark.y]),
      uPx: mark.u,
    })),
    frames: [...new Set(marks.filter((mark) => !posts.has(mark.pointId)).map((mark) => mark.frame))],
    referenceFrame: null,
    unseenTurnRad: UNSEEN_TURN,
    unseenZoom: UNSEEN_TURN,
  });
  if (!found.ok) return { shake: null, notices: [MARKS_NOTICES[`shake-${found.code}`]()] };
  return { shake: found.value, notices: shakeNotices(found.value) };
}

function shakeNotices({ unsupported, agreement, worst }: Shake): readonly ShotNotice[] {
  return [
    ...(unsupported.length > 0
      ? [MARKS_NOTICES["shake-unsupported"](unsupported.length, unsupported[0] as number)]
      : []),
    ...(agreement.agree ? [] : [MARKS_NOTICES["shake-disagrees"](worst.postId, worst.frame)]),
  ];
}

/**
 * Marks of the airframe on the flight plane: lens out, steadied, mapped; each with its frame's time and its
 * own row's lag. u is the mark's own with what the posts of its frame add; that part is common to the frame's
 * marks, so it is enlarged by the root of their number, to leave the frame's mean as uncertain as it is.
 * @returns the marks, the session marks they came from and the map's derivative there, same order; those that
 *   cannot be used are left out
 */
export function planeMarks(
  pointIds: readonly string[],
  sources: readonly Mark[],
  plane: PictureOnPlane,
  clock: ShotTiming,
  shaken: Shake | null,
): {
  readonly marks: readonly PlaneMark[];
  readonly sources: readonly Mark[];
  readonly derivatives: readonly MetresByPixels[];
} {
  const perFrame = new Map<number, number>();
  for (const { frame } of sources) perFrame.set(frame, (perFrame.get(frame) ?? 0) + 1);
  const used: Mark[] = [];
  const marks: PlaneMark[] = [];
  const derivatives: MetresByPixels[] = [];
  for (const mark of sources) {
    const still = steadied(mark, plane, shaken, perFrame.get(mark.frame) ?? 1);
    if (still === null) continue;
    const [x, y] = plane.map.toMetres(still.at);
    const timeS = clock.clock.timeOf(mark.frame);
    const lagS = clock.clock.timeOf(mark.frame, clock.rowOf(mark.x, mark.y)) - timeS;
    const derivative = metresByPixels(plane.map, still.at);
    const u = still.u * metresPerPixel(derivative);
    marks.push({ point: pointIds.indexOf(mark.pointId), frame: mark.frame, timeS, lagS, x, y, u });
    used.push(mark);
    derivatives.push(derivative);
  }
  return { marks, sources: used, derivatives };
}

/** A mark's place in the steadied picture, with its u; null in a frame that no post ties to the others. */
function steadied(
  mark: Mark,
  plane: PictureOnPlane,
  shaken: Shake | null,
  marksInFrame: number,
): { readonly at: PxPoint; readonly u: number } | null {
  const straight = plane.straighten([mark.x, mark.y]);
  if (shaken === null) return { at: straight, u: mark.u };
  const frame = shaken.at(mark.frame);
  if (frame === null) return null;
  const covariance = frame.covariance(straight, [mark.u ** 2, 0, mark.u ** 2]);
  const own = (covariance.mark[0] + covariance.mark[2]) / 2;
  const common = (covariance.frame[0] + covariance.frame[2]) / 2;
  return { at: frame.steady(straight), u: Math.sqrt(own + marksInFrame * common) };
}
