import { type DropRefusal, dropCheck } from "../clock/drop-check.ts";
import { lampCheck } from "../clock/lamp-check.ts";
import { localGravity } from "../clock/local-gravity.ts";
import { airDensity } from "../launch/air.ts";
import { STANDARD_GRAVITY } from "../quantity/gravity.ts";
import type { Measured } from "../quantity/measured.ts";
import type { Notice } from "../quantity/notice.ts";
import { UnseenPlaceError } from "../scale/unseen-place.ts";
import { measurementFaults } from "../session/input-faults.ts";
import type { Mark, Session, Shot } from "../session/schema.ts";
import { isImpossible } from "./input-notices.ts";
import { pictureOnPlane } from "./picture-map-of.ts";

/** A capture rate found in a clip, by a dropped object or a blinking lamp. */
export interface ClockCheck {
  readonly kind: "drop" | "lamp";
  readonly shotId: string;
  readonly captureRateHz: Measured;
  /** Each source's relative part of u(rate)/rate. */
  readonly parts: Readonly<Record<string, number>>;
}

const UNKNOWN_PLACE_G: Measured = { value: STANDARD_GRAVITY, u: 0.015 }; // m/s²: equator to pole is ± 0.026, rectangular

/** Checks of the capture rate that one shot's clip holds; `notices` word refusals and doubts. None where a number they rest on cannot be. */
export function clockChecksOf(
  session: Session,
  shot: Shot,
): { readonly checks: readonly ClockCheck[]; readonly notices: readonly Notice[] } {
  const checks: ClockCheck[] = [];
  const notices: Notice[] = [];
  const falls = session.points
    .filter((point) => point.on === "dropped")
    .map(({ id }) => shot.marks.filter((mark) => mark.pointId === id).sort((a, b) => a.frame - b.frame))
    .filter((marks) => marks.length > 0);
  const lamp = shot.lamp !== undefined && shot.lamp.frames.length > 0 ? shot.lamp : null;
  // Before the faults are looked for: most shots hold no check, and each is asked once for every shot of its camera.
  if (falls.length === 0 && lamp === null) return { checks, notices };
  if (measurementFaults(session, { ...shot, clock: null }).some(isImpossible)) return { checks, notices };
  for (const marks of falls) {
    try {
      dropInto(session, shot, marks, checks, notices);
    } catch (error) {
      if (!(error instanceof UnseenPlaceError)) throw error; // where the shot is measured, that is a refusal
    }
  }
  if (lamp !== null) lampInto(shot, lamp, checks, notices);
  return { checks, notices };
}

function dropInto(
  session: Session,
  shot: Shot,
  marks: readonly Mark[],
  checks: ClockCheck[],
  notices: Notice[],
): void {
  const { plane } = pictureOnPlane(session, shot, null);
  if (plane === null) return; // the missing scale is worded where the shot itself is measured
  const { airPressurePa: p, temperatureK: t } = shot.conditions;
  const density = airDensity(p.value, t.value);
  const check = dropCheck({
    marks: marks.map((mark) => {
      const [x, y] = plane.straighten([mark.x, mark.y]);
      return { frame: mark.frame, x, y, u: mark.u };
    }),
    scale: plane.scale,
    gravity:
      session.site === undefined
        ? UNKNOWN_PLACE_G
        : localGravity(session.site.latitudeRad, session.site.heightM),
    ball:
      shot.ball === undefined
        ? null
        : {
            ...shot.ball,
            airDensity: { value: density, u: density * Math.hypot(p.u / p.value, t.u / t.value) },
          },
    plumbRad: plane.rollRad.value,
  });
  if (!check.ok) {
    notices.push(dropNotice(check.code, check.numbers));
    return;
  }
  checks.push({
    kind: "drop",
    shotId: shot.id,
    captureRateHz: check.value.captureRateHz,
    parts: { ...check.value.parts },
  });
  for (const doubt of check.value.doubts) notices.push(DROP_DOUBTS[doubt.code]);
}

function lampInto(
  shot: Shot,
  lamp: NonNullable<Shot["lamp"]>,
  checks: ClockCheck[],
  notices: Notice[],
): void {
  const check = lampCheck(
    lamp.frames.map((frame, blink) => ({ frame, blink })),
    lamp.intervalS,
  );
  if (check.ok) {
    checks.push({
      kind: "lamp",
      shotId: shot.id,
      captureRateHz: check.value.captureRateHz,
      parts: { ...check.value.parts },
    });
    if (check.value.doubts.length === 0) return;
  }
  notices.push({
    level: "warning",
    code: check.ok ? "lamp-uneven" : `lamp-${check.code}`,
    cause: check.ok
      ? "The lamp's changes are not evenly spaced, so the capture rate from it is less certain."
      : "The lamp's changes do not give a capture rate: too few, too close together, or one was missed.",
    remedy:
      "Mark the first frame of every change, without leaving one out, over as long a stretch as the clip allows.",
  });
}

const DROP_DOUBTS: Readonly<Record<"no-free-fall" | "marks-scatter" | "drag-left-out" | "leans", Notice>> = {
  "no-free-fall": {
    level: "warning",
    code: "drop-no-free-fall",
    cause:
      "The dropped object does not fall freely: its path has a bend that gravity and drag do not explain.",
    remedy: "Mark it only between letting go and landing, and drop something dense.",
  },
  "marks-scatter": {
    level: "warning",
    code: "drop-marks-scatter",
    cause: "The marks of the dropped object scatter more than their stated uncertainty.",
    remedy: "Look at them again with more zoom.",
  },
  "drag-left-out": {
    level: "warning",
    code: "drop-drag-left-out",
    cause: "The drag of the dropped object is left out, so the capture rate comes out too high.",
    remedy: "Give its mass and diameter under Clock; a steel ball hardly needs it.",
  },
  leans: {
    level: "warning",
    code: "drop-leans",
    cause: "The fall leans against the plumb.",
    remedy: "Check the plumb, and that the object was let go, not thrown.",
  },
};

function dropNotice(code: DropRefusal, numbers: Readonly<Record<string, number>>): Notice {
  const words: Record<DropRefusal, readonly [string, string]> = {
    "too-few-marks": [
      `The dropped object is marked in ${numbers.marks ?? "too few"} frames; the drop check needs ${numbers.neededMarks ?? 8} or more.`,
      "Mark it in more frames of its fall.",
    ],
    "not-falling": [
      "The marks of the dropped object do not show a fall.",
      "Mark it over a longer stretch of its fall.",
    ],
    "rises-first": [
      "The object is marked before it was let go, or it was thrown up.",
      "Remove the marks before it falls.",
    ],
  };
  const [cause, remedy] = words[code];
  return { level: "warning", code: `drop-${code}`, cause, remedy };
}
