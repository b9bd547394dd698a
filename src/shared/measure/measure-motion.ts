import { judgeBlur } from "../clock/blur.ts";
import { posePoints } from "../kinematics/body-shape.ts";
import type { MotionFit } from "../kinematics/fitted-motion.ts";
import { meanAt, meanPose } from "../kinematics/mean-motion.ts";
import type { Settled } from "../kinematics/motion-candidates.ts";
import { fittedCurves } from "../kinematics/motion-curves.ts";
import { estimateOf, sampleMotion } from "../kinematics/motion-estimates.ts";
import { fitMotion } from "../kinematics/motion-fit.ts";
import { rigidPose } from "../kinematics/rigid-pose.ts";
import { residualsAsSeen } from "../kinematics/row-lag.ts";
import { withheldNumbers } from "../kinematics/withheld.ts";
import { elementAt } from "../quantity/known-element.ts";
import type { Measured } from "../quantity/measured.ts";
import { CLOCK_NOTICES } from "../results/notices/clock-notices.ts";
import type { ShotNotice } from "../results/notices/shot-notices.ts";
import type {
  BudgetLine,
  Curve,
  MarkResidual,
  Measurement,
  MotionCurves,
  PoseDot,
  QuantityName,
  ReleaseCheck,
  ResidualReading,
  SizeCheck,
} from "../results/shot-result.ts";
import { whenAsked } from "../results/when-asked.ts";
import { pixelsOf } from "../scale/picture-map.ts";
import { drawnResults } from "./drawn-results.ts";
import { flightBend } from "./flight-bend.ts";
import { swappedMarks } from "./marking-doubts.ts";
import { doubts, doubtsOfU, refusalNotice, unknownParts } from "./measurement-doubts.ts";
import type { MeasuringSetUp } from "./measuring-set-up.ts";
import { releaseChecks } from "./release-checks.ts";
import { type ResultsWithBudget, resultsWithBudget } from "./result-budget.ts";
import { sizeCheck, sizeNotices } from "./size-check.ts";
import { statedRelease } from "./stated-release.ts";
import { asDrawn, type DrawingRequest, type SystematicParts, systematicParts } from "./systematic-parts.ts";

const CURVES = ["timeS", "position", "speed", "acceleration", "pitch", "pitchRate"] as const;
const CURVE_POINTS = 240; // finer than a screen or a page shows over one shot

// While a person drags a mark: u is then good to 6 %, and the curves are half as fine.
const QUICK_DRAWS = 130;
const QUICK_CURVE_POINTS = 120;

/** Where a measurement settled: a measurement after a small change of marks may start here. */
export interface QuickStart {
  readonly settled: readonly Settled[];
  readonly systematic: SystematicParts;
  readonly releaseChecks: readonly ReleaseCheck[];
  readonly sizeCheck: SizeCheck | null;
  /** What the full measurement read of the difference from the model. */
  readonly reading?: ResidualReading | null;
}

/**
 * Fits the motion of one shot and describes the outcome. `measurement` is null when the marks do not
 * carry one; `notices` say why.
 */
export function measureMotion(
  setUp: MeasuringSetUp,
  start: QuickStart | null = null,
  asked: DrawingRequest | null = null,
): {
  readonly measurement: Measurement | null;
  readonly notices: readonly ShotNotice[];
  readonly quickStart: QuickStart | null;
} {
  const input = { marks: setUp.marks, axis: setUp.axis, ...statedRelease(setUp) };
  const fitted = fitMotion(input, start?.settled ?? null);
  if (!fitted.ok) return { measurement: null, notices: [refusalNotice(fitted, setUp)], quickStart: null };
  const fit = fitted.value;
  const sample = sampleMotion(fit, start === null ? undefined : QUICK_DRAWS);
  const withheld = withheldNumbers(fit, sample);
  const { systematic, results, drawn } = withDraws(
    start?.systematic ?? systematicParts(fit, setUp, asked),
    (parts) => resultsWithBudget(sample, parts, setUp.filmed.airframe, withheld),
  );
  const { quantities, budget } = results;
  const unknown = unknownParts(systematic);
  if (unknown.length > 0) return { measurement: null, notices: unknown, quickStart: null };
  const release = estimateOf(sample, (numbers) => numbers.releaseS);
  const first = estimateOf(sample, (numbers) => numbers.startS);
  const seen =
    start === null ? releaseChecks(setUp, fit, release) : { checks: start.releaseChecks, notices: [] };
  const bend = fit.powered
    ? null
    : flightBend(
        fit,
        release.value + 2 * release.u,
        relativeSystematicU("stroke", results),
        setUp.clock.clock.relativeU,
      );
  const size = start === null ? sizeCheck(setUp, fit.setAside) : start.sizeCheck;
  const blur = blurOf(setUp, quantities.releaseSpeed?.value ?? 0);
  const measurement: Measurement = {
    quantities,
    budget,
    curves: whenAsked(CURVES, () =>
      curvesOf(fit, release.value, budget, quantities, start === null ? CURVE_POINTS : QUICK_CURVE_POINTS),
    ),
    poses: posesOf(fit, release.value),
    residuals: residualsOf(fit, setUp),
    ...(fit.swapped.length > 0 ? { swapped: swappedMarks(fit, setUp.pointIds) } : {}),
    releaseClipS: release.value,
    startClipS: first.value,
    ...(withheld.has("startS") ? {} : { startClipU: first.u }),
    noiseRatio: Math.sqrt(fit.best.noiseVariance),
    converged: fit.converged,
    scale: setUp.plane.scale,
    captureRateHz: setUp.clock.captureRateHz,
    ...(setUp.clock.parts.length === 0
      ? {}
      : { clockParts: setUp.clock.parts.map(({ from, captureRateHz }) => ({ from, captureRateHz })) }),
    clockChecks: setUp.clock.checks.map(({ kind, shotId, captureRateHz }) => ({
      kind,
      shotId,
      captureRateHz,
    })),
    releaseChecks: seen.checks,
    ...(bend === null ? {} : { flightBend: bend }),
    ...(size === null ? {} : { sizeCheck: size }),
    blurPx: blur?.blurPx ?? null,
    ...(start === null && drawn !== null ? { drawn } : {}),
  };
  return {
    measurement,
    notices: [
      ...doubts(fit, measurement, setUp),
      ...doubtsOfU(systematic),
      ...seen.notices,
      ...bendNotices(bend),
      ...sizeNotices(size, setUp.filmed),
      ...(blur?.notices ?? []),
    ],
    quickStart: { settled: fit.settled, systematic, releaseChecks: seen.checks, sizeCheck: size },
  };
}

/**
 * The results, and beside them what draws gave, if any; where the two disagree the
 * results are stated as drawn.
 */
function withDraws(parts: SystematicParts, resultsOf: (parts: SystematicParts) => ResultsWithBudget) {
  const results = resultsOf(parts);
  const drawn = parts.drawn === null ? null : drawnResults(results, parts.drawn);
  if (drawn === null || Object.values(drawn.headlines).every(({ agree }) => agree)) {
    return { systematic: parts, results, drawn };
  }
  const systematic = asDrawn(parts);
  return { systematic, results: resultsOf(systematic), drawn };
}

function blurOf(
  { filmed, plane }: MeasuringSetUp,
  speed: number,
): { readonly blurPx: number; readonly notices: readonly ShotNotice[] } | null {
  const exposureS = filmed.camera?.exposureS ?? null;
  if (exposureS === null) return null;
  const { blurred, blurPx, exposureThatWouldDoS } = judgeBlur(speed, exposureS, plane.scale.value);
  if (!blurred) return { blurPx, notices: [] };
  return { blurPx, notices: [CLOCK_NOTICES.blurred(blurPx, exposureThatWouldDoS)] };
}

function curvesOf(
  fit: MotionFit,
  releaseS: number,
  budget: Measurement["budget"],
  quantities: Measurement["quantities"],
  points: number,
): MotionCurves {
  const first = fit.frames[0]?.[0]?.timeS ?? 0;
  const last = fit.frames.at(-1)?.[0]?.timeS ?? 0;
  const timesS = Array.from({ length: points }, (_, i) => first + ((last - first) * i) / (points - 1));
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
  const relative = (name: QuantityName) => relativeSystematicU(name, { quantities, budget });
  return {
    timeS: timesS.map((t) => t - releaseS),
    position: widened(position, relative("stroke"), 0),
    speed: widened(speed, relative("releaseSpeed"), 0),
    acceleration: widened(acceleration, relative("peakAcceleration"), 0),
    pitch: widened(pitch, 0, systematicU(budget.pitchAtRelease ?? [])),
    pitchRate: widened(pitchRate, relative("pitchRateAtRelease"), 0),
  };
}

const BENT_IN_U = 3; // one ballistic flight in 700 bends so much by chance

/** Wings carry and bend a path less; what bends it more is a mistake in metres or seconds. */
function bendNotices(bend: Measured | null): readonly ShotNotice[] {
  if (bend === null || bend.value - 1 < BENT_IN_U * bend.u) return [];
  return [CLOCK_NOTICES["flight-bends-more"](bend.value, bend.u)];
}

/** Of a result's u what is common to all frames, over its value. */
function relativeSystematicU(
  name: QuantityName,
  { quantities, budget }: Pick<Measurement, "quantities" | "budget">,
): number {
  const value = Math.abs(quantities[name]?.value ?? 0);
  return systematicU(budget[name] ?? []) / Math.max(value, Number.MIN_VALUE);
}

/** What of a result's u is common to all frames. */
function systematicU(lines: readonly BudgetLine[]): number {
  return Math.hypot(...lines.filter((line) => line.source !== "marks").map((line) => line.u));
}

/** Adds a systematic uncertainty, proportional to the value and constant, to a curve's own. */
function widened(curve: Curve, relative: number, constant: number): Curve {
  return {
    value: curve.value,
    u: curve.u.map((u, i) => Math.hypot(u, relative * (curve.value[i] as number), constant)),
  };
}

/** The pose each frame shows by itself: what the figures draw as dots under the fitted curves. */
function posesOf(fit: MotionFit, releaseS: number): readonly PoseDot[] {
  const home = meanAt(fit.best, fit.directionRad, 0, 0, fit.best.basis.startS);
  const [cos, sin] = [Math.cos(fit.directionRad), Math.sin(fit.directionRad)];
  return fit.frames.flatMap((marks) => {
    const pose = rigidPose(posePoints(marks, fit.shape));
    const mark = marks[0];
    if (!pose.ok || mark === undefined) return [];
    const { x, y, angleRad, covariance } = pose.value;
    const along =
      elementAt(covariance, 0)[0] * cos ** 2 +
      2 * elementAt(covariance, 0)[1] * cos * sin +
      elementAt(covariance, 1)[1] * sin ** 2;
    const fitted = meanAt(fit.best, fit.directionRad, 2, 0, mark.timeS);
    const pitchRad = angleRad + 2 * Math.PI * Math.round((fitted - angleRad) / (2 * Math.PI));
    return [
      {
        frame: mark.frame,
        timeS: mark.timeS - releaseS,
        positionM: cos * x + sin * y - home,
        positionU: Math.sqrt(along * fit.best.noiseVariance),
        pitchRad,
      },
    ];
  });
}

/** Residuals of every mark, those set aside included, in pixels of the picture. */
function residualsOf(
  fit: MotionFit,
  { pointIds, marks, derivatives }: MeasuringSetUp,
): readonly MarkResidual[] {
  const poseAt = (timeS: number) => meanPose(fit.best, fit.directionRad, timeS);
  const derivativeAt = new Map(marks.map((mark, i) => [mark, derivatives[i]]));
  const single = marks.map((mark) => [mark]);
  return residualsAsSeen(single, fit.shape, fit.directionRad, poseAt).map(({ mark, dx, dy, z }) => {
    const derivative = derivativeAt.get(mark);
    const [dxPx, dyPx] = derivative === undefined ? [0, 0] : pixelsOf(derivative, [dx, dy]);
    return { pointId: pointIds[mark.point] as string, frame: mark.frame, dxPx, dyPx, z };
  });
}
