import type { MotionFit } from "../kinematics/fitted-motion.ts";
import { lasting } from "../kinematics/mark-noise.ts";
import { markingGaps } from "../kinematics/marking-gaps.ts";
import { showExact, type UnitSet } from "../quantity/display.ts";
import { elementAt } from "../quantity/known-element.ts";
import { MARKS_NOTICES } from "../results/notices/marks-notices.ts";
import { MOTION_NOTICES } from "../results/notices/motion-notices.ts";
import type { ShotNotice } from "../results/notices/shot-notices.ts";
import type { Shot } from "../session/schema.ts";
import type { MarkSwap } from "../session/swap-marks.ts";

const LEAST_SHARE = 0.05; // of the push: a shorter gap hides nothing of it
// rad, 10°: a launch straight up may lean back by a little
const LEANING_BACK = Math.PI / 18;

/** The marks that a fit left out: those marked for each other, and those that are merely off. */
export function leftOut(fit: MotionFit, pointIds: readonly string[]): readonly ShotNotice[] {
  const swapped = new Set(fit.swapped.flat());
  const off = fit.setAside
    .filter((mark) => !swapped.has(mark))
    .map(({ point, frame }) => ({ name: pointIds[point] as string, frame }));
  const pairs = swappedMarks(fit, pointIds).map((swap) => ({
    name: swap.pointIds.join(" and "),
    frame: swap.frame,
  }));
  return [
    ...(pairs.length > 0 ? [MARKS_NOTICES["marks-swapped"](pairs)] : []),
    ...(off.length > 0 ? [MOTION_NOTICES["marks-set-aside"](off)] : []),
  ];
}

/** The marks that would fit with their points swapped, as the session names them, in order of frames. */
export function swappedMarks({ swapped }: MotionFit, pointIds: readonly string[]): readonly MarkSwap[] {
  return swapped
    .map(([a, b]): MarkSwap => {
      const [first, second] = a.point < b.point ? [a, b] : [b, a];
      return {
        frame: a.frame,
        pointIds: [pointIds[first.point] as string, pointIds[second.point] as string],
      };
    })
    .sort((a, b) => a.frame - b.frame);
}

/** Where a push that was measured went unseen. */
export function unmarkedStretches(fit: MotionFit): readonly ShotNotice[] {
  const { startS, releaseS } = fit.best.basis;
  const marked = fit.frames.map((marks) => marks[0]);
  const gaps = markingGaps(marked.map((mark) => mark?.timeS ?? 0));
  return gaps.flatMap(({ fromS, toS, next }) => {
    const [before, after] = [marked[next - 1], marked[next]];
    const inPush = Math.min(toS, releaseS) - Math.max(fromS, startS);
    if (before === undefined || after === undefined || inPush < LEAST_SHARE * (releaseS - startS)) return [];
    return [
      MOTION_NOTICES["push-unmarked"](
        before.frame + 1,
        after.frame - 1,
        releaseS < toS ? "the end" : startS > fromS ? "the start" : "a part",
      ),
    ];
  });
}

/** A flight the other way than the shot says: its angles are then those of a mirrored picture. */
export function againstDirection({ directionRad }: MotionFit, { direction }: Pick<Shot, "direction">) {
  const back = Math.abs(directionRad) > Math.PI / 2 + LEANING_BACK;
  return back ? [MOTION_NOTICES["against-direction"](direction)] : [];
}

const LASTING = 0.5; // correlation from frame to frame: three times the variance of errors that do not last

/** Errors of marks that last from frame to frame, and those that all marks of a frame share. */
export function lastingErrors({ settled, best }: MotionFit, units: UnitSet): readonly ShotNotice[] {
  const { lag, common, commonLag } = elementAt(settled, 0).noise;
  const moved = ([0, 1] as const).map((axis) => common[axis] / lasting(commonLag[axis]));
  const together = Math.sqrt(Math.max(...moved) * best.noiseVariance);
  return [
    ...(lag >= LASTING ? [MOTION_NOTICES["marks-lasting"](lag)] : []),
    ...(together > 0 ? [MOTION_NOTICES["marks-together"](showExact(together, "m", units, 2))] : []),
  ];
}
