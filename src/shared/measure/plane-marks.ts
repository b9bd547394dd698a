import type { PlaneMark } from "../kinematics/body-shape.ts";
import type { PxPoint } from "../quantity/point.ts";
import { type MetresByPixels, metresByPixels, metresPerPixel } from "../scale/picture-map.ts";
import type { SteadyPictures } from "../scale/steady-pictures.ts";
import type { Mark } from "../session/schema.ts";
import type { PictureOnPlane } from "./picture-plane.ts";
import type { ShotTiming } from "./shot-timing.ts";

/**
 * Marks of the airframe on the flight plane: lens out, steadied, mapped; each with its frame's time and its
 * own row's lag. u is the mark's own with what its frame's own place adds; that part is common to the frame's
 * marks, so it is enlarged by the root of their number, to leave the frame's mean as uncertain as it is.
 * @returns the marks, the session marks they came from and the map's derivative there, same order; those that
 *   cannot be used are left out
 */
export function planeMarks(
  pointIds: readonly string[],
  sources: readonly Mark[],
  plane: PictureOnPlane,
  clock: ShotTiming,
  shaken: SteadyPictures | null,
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

/** A mark's place in the steadied picture, with its u; null in a frame that nothing ties to the others. */
function steadied(
  mark: Mark,
  plane: PictureOnPlane,
  shaken: SteadyPictures | null,
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
