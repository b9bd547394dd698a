import { posePoints } from "../kinematics/body-shape.ts";
import { markResiduals } from "../kinematics/mark-residuals.ts";
import { meanAt, meanPose } from "../kinematics/mean-motion.ts";
import { fittedCurves } from "../kinematics/motion-curves.ts";
import { type MotionEstimates, motionEstimates } from "../kinematics/motion-estimates.ts";
import { fitMotion, type MotionFit, type MotionRefusal } from "../kinematics/motion-fit.ts";
import type { ReleaseInput } from "../kinematics/release-search.ts";
import { rigidPose } from "../kinematics/rigid-pose.ts";
import type { Notice } from "../quantity/notice.ts";
import type { Refusal } from "../quantity/result.ts";
import type { Shot } from "../session/schema.ts";
import { headlineBudget } from "./headline-budget.ts";
import type { MeasuringSetUp } from "./measuring-set-up.ts";
import type { Curve, MarkResidual, Measurement, MotionCurves, PoseDot } from "./shot-result.ts";

const CURVE_POINTS = 240; // finer than a screen or a page shows over one shot

/** Fits the motion of one shot and words what came of it. `measurement` is null when the marks do not carry one; `notices` say why. */
export function measureMotion(
  setUp: MeasuringSetUp,
  shot: Shot,
): { measurement: Measurement | null; notices: readonly Notice[] } {
  const fitted = fitMotion({ marks: setUp.marks, axis: setUp.axis, release: releaseOf(shot, setUp) });
  if (!fitted.ok) return { measurement: null, notices: [refusalNotice(fitted)] };
  const fit = fitted.value;
  const estimates = motionEstimates(fit);
  const at = (coordinate: 0 | 1 | 2, derivative: 0 | 1 | 2, timeS: number) =>
    meanAt(fit.best, fit.directionRad, coordinate, derivative, timeS);
  const { quantities, budget } = headlineBudget(estimates, setUp, {
    pitchRate: estimates.pitchRate.value,
    peakPitchAcceleration: at(2, 2, estimates.peakTime.value),
    attitude: estimates.pitch.value - estimates.direction.value,
  });
  const residuals = residualsOf(fit, setUp);
  const measurement: Measurement = {
    quantities,
    budget,
    curves: curvesOf(fit, estimates, setUp),
    poses: posesOf(fit, estimates),
    residuals,
    releaseClipS: estimates.release.value,
    startClipS: estimates.start.value,
    noiseRatio: Math.sqrt(fit.best.noiseVariance),
    converged: fit.converged,
  };
  return { measurement, notices: doubts(fit, measurement, setUp) };
}

function releaseOf(shot: Shot, { clock }: MeasuringSetUp): ReleaseInput {
  if (shot.release.by === "change-point") return { by: "change-point" };
  const { frame, uFrames } = shot.release;
  const timeS = clock.timeOf(frame);
  return { by: "person", timeS, u: (uFrames * timeS) / Math.max(frame, 1e-9) };
}

function curvesOf(
  fit: MotionFit,
  estimates: MotionEstimates,
  { scale, clock }: MeasuringSetUp,
): MotionCurves {
  const first = (fit.frames[0]?.[0]?.timeS ?? 0) as number;
  const last = (fit.frames.at(-1)?.[0]?.timeS ?? 0) as number;
  const timesS = Array.from(
    { length: CURVE_POINTS },
    (_, i) => first + ((last - first) * i) / (CURVE_POINTS - 1),
  );
  const home = meanAt(fit.best, fit.directionRad, 0, 0, fit.best.basis.startS);
  const [position, vs, vn, acceleration, pitch, pitchRate] = fittedCurves(fit, timesS, [
    { coordinate: 0, derivative: 0, from: home },
    { coordinate: 0, derivative: 1, from: 0 },
    { coordinate: 1, derivative: 1, from: 0 },
    { coordinate: 0, derivative: 2, from: 0 },
    { coordinate: 2, derivative: 0, from: 0 },
    { coordinate: 2, derivative: 1, from: 0 },
  ]) as [Curve, Curve, Curve, Curve, Curve, Curve];
  const speed: Curve = {
    value: vs.value.map((v, i) => Math.hypot(v, vn.value[i] as number)),
    u: vs.u.map((u, i) => {
      const [s, n] = [vs.value[i] as number, vn.value[i] as number];
      const v = Math.hypot(s, n);
      return v > 0 ? Math.hypot(s * u, n * (vn.u[i] as number)) / v : u;
    }),
  };
  const byScale = scale.u / scale.value;
  const byClock = clock.relativeU;
  return {
    timeS: timesS.map((t) => t - estimates.release.value),
    position: widened(position, byScale),
    speed: widened(speed, Math.hypot(byScale, byClock)),
    acceleration: widened(acceleration, Math.hypot(byScale, 2 * byClock)),
    pitch,
    pitchRate: widened(pitchRate, byClock),
  };
}

/** Adds a relative systematic uncertainty to a curve's own. */
function widened(curve: Curve, relative: number): Curve {
  return {
    value: curve.value,
    u: curve.u.map((u, i) => Math.hypot(u, relative * (curve.value[i] as number))),
  };
}

/** The pose each frame shows by itself: what the figures draw as dots under the fitted curves. */
function posesOf(fit: MotionFit, estimates: MotionEstimates): readonly PoseDot[] {
  const home = meanAt(fit.best, fit.directionRad, 0, 0, fit.best.basis.startS);
  const [cos, sin] = [Math.cos(fit.directionRad), Math.sin(fit.directionRad)];
  return fit.frames.flatMap((marks) => {
    const pose = rigidPose(posePoints(marks, fit.shape));
    const mark = marks[0];
    if (!pose.ok || mark === undefined) return [];
    const { x, y, angleRad } = pose.value;
    const fitted = meanAt(fit.best, fit.directionRad, 2, 0, mark.timeS);
    const pitchRad = angleRad + 2 * Math.PI * Math.round((fitted - angleRad) / (2 * Math.PI));
    return [
      {
        frame: mark.frame,
        timeS: mark.timeS - estimates.release.value,
        positionM: cos * x + sin * y - home,
        pitchRad,
      },
    ];
  });
}

/** Residuals of every mark, those set aside included, in pixels of the picture. */
function residualsOf(fit: MotionFit, { plane, pointIds, marks }: MeasuringSetUp): readonly MarkResidual[] {
  const frames = marks.map((mark) => [mark]);
  const poseAt = (timeS: number) => meanPose(fit.best, fit.directionRad, timeS);
  const origin = plane.toPixels([0, 0]);
  return markResiduals(frames, fit.shape, fit.directionRad, poseAt).map(({ mark, dx, dy, z }) => {
    const [x, y] = plane.toPixels([dx, dy]);
    return {
      pointId: pointIds[mark.point] as string,
      frame: mark.frame,
      dxPx: x - origin[0],
      dyPx: y - origin[1],
      z,
    };
  });
}

/** What a person should doubt about a fit that did come out. */
function doubts(fit: MotionFit, measurement: Measurement, { pointIds }: MeasuringSetUp): readonly Notice[] {
  const notices: Notice[] = [];
  if (fit.setAside.length > 0) {
    const names = fit.setAside.map((mark) => `${pointIds[mark.point]} in frame ${mark.frame}`);
    notices.push({
      level: "warning",
      code: "marks-set-aside",
      cause: `${names.length === 1 ? "One mark does" : `${names.length} marks do`} not fit the motion and ${names.length === 1 ? "was" : "were"} left out: ${names.slice(0, 6).join(", ")}${names.length > 6 ? " and others" : ""}.`,
      remedy: "Look at those frames again and put the marks right, or remove them.",
    });
  }
  const ratio = measurement.noiseRatio;
  if (ratio > 1.5) {
    notices.push({
      level: "warning",
      code: "marks-noisier",
      cause: `The marks scatter ${ratio.toFixed(1)} times as much as their stated uncertainty; results use the scatter found.`,
      remedy: "State a larger uncertainty for the marks, or place them with more zoom.",
    });
  }
  if (!fit.atRest) {
    notices.push({
      level: "warning",
      code: "no-rest",
      cause:
        "The first marks already show motion, so the time of first motion and the stroke are counted from the first mark.",
      remedy: "Mark six or more frames before the airframe starts to move.",
    });
  }
  if (!fit.converged) {
    notices.push({
      level: "warning",
      code: "not-converged",
      cause: "The fit did not settle completely; the results may be off by more than they state.",
      remedy: "Mark more frames around release, and look at the marks with the largest misfit.",
    });
  }
  return notices;
}

function refusalNotice({ code, numbers }: Refusal<MotionRefusal>): Notice {
  const found = numbers.frames ?? 0;
  const needed = numbers.needed ?? 0;
  const words: Record<MotionRefusal, readonly [cause: string, remedy: string]> = {
    "no-axis": [
      "The two points of the pitch reference line are not marked together in enough frames.",
      "Mark both in the same frames, ten or more, through the push and after it.",
    ],
    "too-few-frames": [
      `Only ${found} frames carry marks; a motion needs ${needed} or more.`,
      "Mark more frames: some before first motion, all of the push, and five or more after release.",
    ],
    "no-motion": [
      "The marked points do not move beyond the marks' own scatter.",
      "Mark the frames of the launch itself, from before first motion until after release.",
    ],
    "no-push": [
      `Only ${found} marked frames lie after first motion; push and free flight together need ${needed} or more.`,
      "Mark more frames of the push and of the flight after it.",
    ],
    "no-flight": [
      `Only ${found} marked frames lie after release; ${needed} or more are needed.`,
      "Mark more frames after the airframe has left.",
    ],
    undetermined: [
      "The marks do not determine the motion.",
      "Mark more frames around release; if release was given by hand, check that marked frames lie on both sides of it.",
    ],
  };
  const [cause, remedy] = words[code];
  return { level: "refusal", code, cause, remedy };
}
