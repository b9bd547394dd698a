import { CAMERA_PLAN_DEFAULTS, type CameraPlanInput } from "../../shared/camera-plan/plan-input.ts";
import type { Measurement } from "../../shared/results/shot-result.ts";
import type { ClipFacts } from "../../shared/session/clip-facts.ts";
import type { Point, Session, Shot } from "../../shared/session/schema.ts";
import { airframeOf } from "../../shared/session/what-took-part.ts";
import { handU } from "../picking/picks.ts";

/**
 * A plan's inputs as the session and a measured shot have them; what they do not say is taken as usual.
 * @param shot the one that is planned for again; null when there is none
 */
export function planPrefill(
  session: Session,
  shot: Shot | null,
  measurement: Measurement | null,
  facts: ClipFacts | null,
): CameraPlanInput {
  const usual = CAMERA_PLAN_DEFAULTS;
  if (shot === null) return usual;
  const camera = session.cameras.find((one) => one.id === shot.cameraId);
  const rate =
    shot.clock?.kind === "capture-rate" ? shot.clock.captureRateHz : (camera?.captureRateHz ?? null);
  const exposureS = camera?.exposureS ?? usual.exposureS;
  const captureRateHz = rate ?? usual.captureRateHz;
  const scale = measurement?.scale.value ?? null;
  const { setting, plumb } = shot;
  const cg = airframeOf(session, shot).centreOfGravity;
  const widthPx = facts?.width ?? usual.widthPx;
  return {
    ...usual,
    widthPx,
    heightPx: facts?.height ?? usual.heightPx,
    captureRateHz,
    exposureS: Math.min(exposureS, 1 / captureRateHz.value),
    distanceM: setting?.distanceM.value ?? usual.distanceM,
    planeU: setting?.nearerM.u ?? usual.planeU,
    lens: scale === null ? usual.lens : { by: "field", fieldM: tidy(scale * widthPx) },
    markPx: shot.marks.length === 0 ? usual.markPx : handU(shot),
    points: Math.min(12, Math.max(2, markedPoints(session.points, shot).length)),
    spacingM:
      scale === null ? usual.spacingM : tidy(widestPx(session.points, shot) * scale || usual.spacingM),
    balanceU: cg?.alongM.u ?? usual.balanceU,
    rodM: shot.scale?.rodM ?? usual.rodM,
    pickPx: shot.scale?.uPx ?? usual.pickPx,
    plumbM:
      scale === null || plumb === null
        ? usual.plumbM
        : tidy(Math.hypot(plumb.bottom[0] - plumb.top[0], plumb.bottom[1] - plumb.top[1]) * scale),
    hangRad: plumb?.hangRad ?? usual.hangRad,
    ...framesOf(measurement, usual),
    shot: expectedOf(measurement, usual.shot),
  };
}

function markedPoints(points: readonly Point[], shot: Shot): readonly string[] {
  return points
    .filter((point) => point.on === "airframe" && shot.marks.some((mark) => mark.pointId === point.id))
    .map((point) => point.id);
}

/**
 * px, the widest distance between two points of the airframe in the first frame that
 * shows two; 0 without one.
 */
function widestPx(points: readonly Point[], shot: Shot): number {
  const own = new Set(markedPoints(points, shot));
  const marks = shot.marks.filter((mark) => own.has(mark.pointId));
  // marks are ordered by frame
  const first = marks.find((mark, i) => marks[i + 1]?.frame === mark.frame)?.frame;
  const together = marks.filter((mark) => mark.frame === first);
  return Math.max(0, ...together.flatMap((a) => together.map((b) => Math.hypot(a.x - b.x, a.y - b.y))));
}

function framesOf(measurement: Measurement | null, usual: CameraPlanInput) {
  if (measurement === null) return { restFrames: usual.restFrames, flightFrames: usual.flightFrames };
  const startS = measurement.startClipS - measurement.releaseClipS;
  const rest = measurement.poses.filter((pose) => pose.timeS < startS).length;
  const flight = measurement.poses.filter((pose) => pose.timeS > 0).length;
  return { restFrames: rest, flightFrames: flight };
}

function expectedOf(
  measurement: Measurement | null,
  usual: CameraPlanInput["shot"],
): CameraPlanInput["shot"] {
  const { releaseSpeed, stroke, peakAcceleration, launchAngle, pitchRateAtRelease } =
    measurement?.quantities ?? {};
  if (!(releaseSpeed && stroke && peakAcceleration)) return usual;
  if (!(releaseSpeed.value > 0 && stroke.value > 0 && peakAcceleration.value > 0)) return usual;
  return {
    speedMPerS: tidy(releaseSpeed.value),
    strokeM: tidy(stroke.value),
    push: { by: "peak", peakMPerS2: tidy(peakAcceleration.value) },
    angleRad: launchAngle?.value ?? usual.angleRad,
    pitchRateRadPerS: pitchRateAtRelease?.value ?? usual.pitchRateRadPerS,
  };
}

/** Three digits: what a plan is good for, and short to read. */
function tidy(value: number): number {
  return Number(value.toPrecision(3));
}
