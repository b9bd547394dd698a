import type { BodyShape, FrameMarks } from "./body-shape.ts";
import { markResiduals, type PlaneResidual, type PoseAt } from "./mark-residuals.ts";

/**
 * Marks as they would have been at their frame's own time: each is moved back by what the motion did to its
 * point during its lag. The motion comes from the fit itself, so this is repeated as the fit settles; an
 * error of the speed enters only times the lag.
 * @returns the same frames when no mark lags
 */
export function atFrameTime(
  frames: readonly FrameMarks[],
  shape: BodyShape,
  directionRad: number,
  poseAt: PoseAt,
): readonly FrameMarks[] {
  if (!frames.some((marks) => marks.some((mark) => mark.lagS))) return frames;
  const [cosD, sinD] = [Math.cos(directionRad), Math.sin(directionRad)];
  const place = (body: readonly [number, number], timeS: number): readonly [number, number] => {
    const [s, n, pitch] = poseAt(timeS);
    const [cos, sin] = [Math.cos(pitch), Math.sin(pitch)];
    return [
      cosD * s - sinD * n + cos * body[0] - sin * body[1],
      sinD * s + cosD * n + sin * body[0] + cos * body[1],
    ];
  };
  return frames.map((marks) =>
    marks.map((mark) => {
      const body = shape.get(mark.point);
      if (!mark.lagS || body === undefined) return mark;
      const [then, now] = [place(body, mark.timeS + mark.lagS), place(body, mark.timeS)];
      return { ...mark, x: mark.x - (then[0] - now[0]), y: mark.y - (then[1] - now[1]) };
    }),
  );
}

/**
 * Residuals of marks against a motion, each judged at its frame's own time and named as it was seen: who sets
 * a mark aside finds it again among those that were given.
 */
export function residualsAsSeen(
  seen: readonly FrameMarks[],
  shape: BodyShape,
  directionRad: number,
  poseAt: PoseAt,
): readonly PlaneResidual[] {
  const levelled = atFrameTime(seen, shape, directionRad, poseAt);
  const residuals = markResiduals(levelled, shape, directionRad, poseAt);
  if (levelled === seen) return residuals;
  const sources = new Map(levelled.flatMap((marks, i) => marks.map((mark, j) => [mark, seen[i][j]])));
  return residuals.map((residual) => ({ ...residual, mark: sources.get(residual.mark) ?? residual.mark }));
}
