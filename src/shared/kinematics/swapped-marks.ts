import type { BodyAxis, FrameMarks, PlaneMark } from "./body-shape.ts";
import { grossLimit } from "./gross-marks.ts";
import type { JudgingFit } from "./marks-in-doubt.ts";
import { residualsAsSeen } from "./row-lag.ts";

/** Two marks of one frame, each placed where the other's point is. */
export type SwappedPair = readonly [PlaneMark, PlaneMark];

// rad, from one marked frame to the next: no airframe turns so far, a line taken from its other end turns by
// pi
const FLIPPED = (2 * Math.PI) / 3;

/**
 * Marks of the two ends of the pitch reference line in frames where it points the other way than in most: the
 * two were likely marked for each other. Told without a fit: a row of such frames bends the pitch, and a fit
 * to all marks then disowns good ones.
 */
export function flippedPairs(frames: readonly FrameMarks[], axis: BodyAxis): readonly SwappedPair[] {
  const sides: [SwappedPair[], SwappedPair[]] = [[], []];
  let side: 0 | 1 = 0;
  let before: number | null = null;
  for (const marks of frames) {
    const forward = marks.find(({ point }) => point === axis.forward);
    const aft = marks.find(({ point }) => point === axis.aft);
    if (forward === undefined || aft === undefined) continue;
    const angle = Math.atan2(forward.y - aft.y, forward.x - aft.x);
    const turned = before === null ? 0 : angle - before;
    if (Math.abs(turned - 2 * Math.PI * Math.round(turned / (2 * Math.PI))) > FLIPPED)
      side = side === 0 ? 1 : 0;
    sides[side].push([forward, aft]);
    before = angle;
  }
  return sides[0].length < sides[1].length ? sides[0] : sides[1];
}

/**
 * Pairs among marks that were set aside that the motion owns once each takes the other's place.
 * @param setAside marks that the fit disowns as they are
 */
export function swappedPairs(setAside: readonly PlaneMark[], fit: JudgingFit): readonly SwappedPair[] {
  const frames = new Map<number, PlaneMark[]>();
  for (const mark of setAside) {
    const list = frames.get(mark.frame);
    if (list) list.push(mark);
    else frames.set(mark.frame, [mark]);
  }
  const pairs = [...frames.values()].flatMap((marks) =>
    marks.flatMap((a, i) => marks.slice(i + 1).map((b): SwappedPair => [a, b])),
  );
  const exchanged = pairs.map(([a, b]) => [
    { ...a, point: b.point },
    { ...b, point: a.point },
  ]);
  const limit = grossLimit(fit.residuals);
  const owned = new Set(
    residualsAsSeen(exchanged, fit.shape, fit.directionRad, fit.poseAt)
      .filter(({ z }) => z <= limit)
      .map(({ mark }) => mark),
  );
  return pairs.filter((_, i) => exchanged[i].every((mark) => owned.has(mark)));
}
