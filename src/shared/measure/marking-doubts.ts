import type { MotionFit } from "../kinematics/fitted-motion.ts";
import { markingGaps } from "../kinematics/marking-gaps.ts";
import { showExact, type UnitSet } from "../quantity/display.ts";
import { elementAt } from "../quantity/known-element.ts";
import { MOTION_NOTICES } from "../results/notices/motion-notices.ts";
import type { ShotNotice } from "../results/notices/shot-notices.ts";
import type { Shot } from "../session/schema.ts";

const LEAST_SHARE = 0.05; // of the push: a shorter gap hides nothing of it
// rad, 10°: a launch straight up may lean back by a little
const LEANING_BACK = Math.PI / 18;

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
  const { lag, common } = elementAt(settled, 0).noise;
  const together = Math.sqrt(Math.max(...common) * best.noiseVariance);
  return [
    ...(lag >= LASTING ? [MOTION_NOTICES["marks-lasting"](lag)] : []),
    ...(together > 0 ? [MOTION_NOTICES["marks-together"](showExact(together, "m", units, 2))] : []),
  ];
}
