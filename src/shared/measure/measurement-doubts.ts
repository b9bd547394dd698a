import type { MotionFit, MotionRefusal } from "../kinematics/fitted-motion.ts";
import { modelOf } from "../launchers/launcher-models.ts";
import { showExact, showMeasured } from "../quantity/display.ts";
import type { Heading } from "../quantity/notice.ts";
import type { Refusal } from "../quantity/result.ts";
import { MOTION_NOTICES } from "../results/notices/motion-notices.ts";
import type { ShotNotice } from "../results/notices/shot-notices.ts";
import type { BudgetLine, Measurement } from "../results/shot-result.ts";
import { againstDirection, lastingErrors, leftOut, unmarkedStretches } from "./marking-doubts.ts";
import type { MeasuringSetUp } from "./measuring-set-up.ts";
import type { PictureOnPlane } from "./picture-plane.ts";
import { failedDraws, type SystematicParts } from "./systematic-parts.ts";

const MANY_ASIDE = 0.1; // of all marks: a hand or a follower seldom errs so often
const NOISIER = 1.5; // of the stated u of the marks: with some fifty marks, less is chance

/** What a person should doubt about a fit that did come out. */
export function doubts(
  fit: MotionFit,
  { noiseRatio, residuals }: Measurement,
  { pointIds, filmed, plane }: MeasuringSetUp,
): readonly ShotNotice[] {
  // A picture that is bent where known points do not reach may look like a point that is off for a while.
  const many = isUnknownBeyond(plane) && fit.setAside.length > MANY_ASIDE * residuals.length;
  const ratio = many ? Math.max(noiseRatio, ratioOfAll(residuals)) : noiseRatio;
  return [
    ...leftOut(fit, pointIds),
    ...(ratio > NOISIER ? noisier(ratio, plane) : []),
    ...(fit.seen === "flight" ? [MOTION_NOTICES["no-push-seen"]()] : []),
    ...(fit.seen === "flight" || fit.atRest ? [] : [MOTION_NOTICES["no-rest"]()]),
    ...lastingErrors(fit, filmed.units),
    ...unmarkedStretches(fit),
    ...againstDirection(fit, filmed.shot),
    ...(fit.converged ? [] : [MOTION_NOTICES["not-converged"]()]),
  ];
}

/** Whose fault it is that marks do not fit: theirs, unless the plane is known not to be one. */
function noisier(ratio: number, plane: PictureOnPlane): readonly ShotNotice[] {
  if (plane.found.points?.strained === true) return []; // said where the plane is
  if (isUnknownBeyond(plane)) return [MOTION_NOTICES["marks-or-plane"](ratio)];
  return [MOTION_NOTICES["marks-noisier"](ratio)];
}

/** Whether the airframe flew where known points say nothing of how the picture is bent. */
function isUnknownBeyond({ found: { points, beyond } }: PictureOnPlane): boolean {
  return points !== null && beyond.bend > 0;
}

/** Scatter of all marks, those left out too, over their stated u. */
function ratioOfAll(residuals: Measurement["residuals"]): number {
  return Math.hypot(...residuals.map(({ z }) => z)) / Math.sqrt(2 * residuals.length);
}

/** Where the lines of a budget are stated. */
const STATED_UNDER: Readonly<Record<BudgetLine["source"], Heading>> = {
  marks: "marks",
  scale: "scale",
  lens: "scale",
  plane: "scale",
  clock: "clock",
  shutter: "clock",
  camera: "clip",
  plumb: "scale",
  "centre of gravity": "marks",
  mass: "marks",
  "pitch inertia": "marks",
  release: "motion",
};

/** Sources whose part of the uncertainty is not known at all: no result is stated without it. */
export function unknownParts({ cutShort }: SystematicParts): readonly ShotNotice[] {
  return cutShort
    .filter(({ reached }) => reached === 0)
    .map(({ source }) => MOTION_NOTICES["uncertainty-unknown-part"](source, STATED_UNDER[source]));
}

/** What a person should doubt about the stated uncertainties. */
export function doubtsOfU({ cutShort, drawn }: SystematicParts): readonly ShotNotice[] {
  const failed = drawn === null ? 0 : failedDraws(drawn);
  return [
    ...cutShort.map(({ source, reached }) =>
      MOTION_NOTICES["uncertainty-cut-short"](source, reached, STATED_UNDER[source]),
    ),
    ...(drawn !== null && failed > 0 ? [MOTION_NOTICES["draws-without-motion"](failed, drawn.tried)] : []),
  ];
}

/** Why marks do not carry a motion, with what is known all the same. */
export function refusalNotice(
  { code, numbers }: Refusal<MotionRefusal>,
  { plane, clock, filmed }: MeasuringSetUp,
): ShotNotice {
  if (code === "pushed-on") {
    const { acceleration = 0 } = numbers;
    const how = showExact(Math.abs(acceleration), "m/s²", filmed.units, 2);
    return MOTION_NOTICES["pushed-on"](how, acceleration > 0);
  }
  if (code !== "no-flight") return MOTION_NOTICES[code](numbers.frames ?? 0, numbers.needed ?? 0);
  const { speed = 0, speedU = 0 } = numbers;
  const { scale } = plane;
  const u = Math.hypot(speedU, speed * (scale.u / scale.value), speed * clock.clock.relativeU);
  const burnsOn = modelOf(filmed.launcher)?.pushesAfterRelease === true;
  return MOTION_NOTICES["no-flight"](showMeasured({ value: speed, u }, "m/s", filmed.units).text, burnsOn);
}
