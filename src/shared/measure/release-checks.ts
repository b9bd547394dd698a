import type { MotionFit } from "../kinematics/fitted-motion.ts";
import { meanPose } from "../kinematics/mean-motion.ts";
import { estimateOf, type MotionSample, sampleMotion } from "../kinematics/motion-estimates.ts";
import { fitMotion } from "../kinematics/motion-fit.ts";
import { type Gap, separationTime } from "../kinematics/separation.ts";
import { showMeasured } from "../quantity/display.ts";
import type { Measured } from "../quantity/measured.ts";
import { MOTION_NOTICES } from "../results/notices/motion-notices.ts";
import type { ShotNotice } from "../results/notices/shot-notices.ts";
import type { ReleaseCheck } from "../results/shot-result.ts";
import type { MeasuringSetUp } from "./measuring-set-up.ts";
import { planeMarks } from "./plane-marks.ts";

const APART_IN_U = 3; // beyond this two ways of seeing release contradict each other

/**
 * Release seen by the ways that are not in use, each compared with the one that is: the tip of the rod
 * falling behind the airframe, where a point of the rod is marked, and the change of acceleration, where
 * release was stated and nothing pushes on after it.
 */
export function releaseChecks(
  setUp: MeasuringSetUp,
  fit: MotionFit,
  release: Measured,
): { readonly checks: readonly ReleaseCheck[]; readonly notices: readonly ShotNotice[] } {
  const checks: ReleaseCheck[] = [];
  const { points } = setUp.filmed;
  for (const point of points.filter((one) => one.on === "rod")) {
    const separation = separationTime(rodGaps(point.id, setUp, fit));
    if (separation.ok) checks.push({ by: "separation", clipS: separation.value });
  }
  const { release: told } = fit;
  const free = told.by === "change-point" || fit.powered ? null : freeOf(setUp);
  if (free !== null) {
    checks.push({ by: "change-point", clipS: estimateOf(free, (numbers) => numbers.releaseS) });
  }
  const { units } = setUp.filmed;
  return {
    checks,
    notices: checks.flatMap((check) => {
      // What was stated is held against the motion by itself, not against what the two give together.
      if (check.by !== "change-point") return contradiction(check, release);
      if (told.by === "person") return contradiction(check, { value: told.timeS, u: told.u });
      if (told.by !== "travel" || free === null) return [];
      const { value, u } = setUp.plane.scale;
      const travel = estimateOf(free, (numbers) => numbers.stroke);
      const found = { value: travel.value, u: Math.hypot(travel.u, travel.value * (u / value)) };
      if (Math.abs(found.value - told.travelM) < APART_IN_U * Math.hypot(found.u, told.u)) return [];
      const shown = (of: Measured) => showMeasured(of, "m", units).text;
      return [MOTION_NOTICES["release-travel"](shown(found), shown({ value: told.travelM, u: told.u }))];
    }),
  };
}

/** Motions drawn from the marks alone, whatever was said of release; null where they tell none. */
function freeOf({ marks, axis }: MeasuringSetUp): MotionSample | null {
  const free = fitMotion({ marks, axis, release: { by: "change-point" } });
  return free.ok ? sampleMotion(free.value) : null;
}

/** Lead of a rod point over the centre of gravity along the launch direction, frame by frame. */
function rodGaps(pointId: string, setUp: MeasuringSetUp, fit: MotionFit): readonly Gap[] {
  const sources = setUp.filmed.shot.marks.filter((mark) => mark.pointId === pointId);
  const { marks } = planeMarks([pointId], sources, setUp.plane, setUp.clock, setUp.steadying.shake);
  const [cos, sin] = [Math.cos(fit.directionRad), Math.sin(fit.directionRad)];
  const first = fit.frames[0]?.[0]?.timeS ?? 0;
  const last = fit.frames.at(-1)?.[0]?.timeS ?? 0;
  return marks
    .map((mark) => {
      const timeS = mark.timeS + (mark.lagS ?? 0);
      const [s] = meanPose(fit.best, fit.directionRad, timeS);
      return { timeS, gapM: cos * mark.x + sin * mark.y - s, u: mark.u };
    })
    .filter((gap) => gap.timeS >= first && gap.timeS <= last)
    .sort((a, b) => a.timeS - b.timeS);
}

function contradiction({ by, clipS }: ReleaseCheck, release: Measured): readonly ShotNotice[] {
  const difference = clipS.value - release.value;
  if (Math.abs(difference) < APART_IN_U * Math.hypot(clipS.u, release.u)) return [];
  return [MOTION_NOTICES[`release-${by}`](difference, clipS.u)];
}
