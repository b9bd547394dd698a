import { type DropRefusal, dropCheck } from "../clock/drop-check.ts";
import { lampCheck } from "../clock/lamp-check.ts";
import { localGravity } from "../clock/local-gravity.ts";
import { airDensity } from "../launch/air.ts";
import { STANDARD_GRAVITY } from "../quantity/gravity.ts";
import type { Measured } from "../quantity/measured.ts";
import { isImpossible } from "../results/input-notices.ts";
import { DROP_NOTICES, LAMP_NOTICES } from "../results/notices/clock-notices.ts";
import type { ShotNotice } from "../results/notices/shot-notices.ts";
import { UnseenPlaceError } from "../scale/unseen-place.ts";
import type { FilmedShot } from "../session/filmed-shot.ts";
import { measurementFaults } from "../session/input-faults.ts";
import type { Mark, Shot } from "../session/schema.ts";
import { pictureOnPlane } from "./picture-map-of.ts";

/** A capture rate found in a clip, by a dropped object or a blinking lamp. */
export interface ClockCheck {
  readonly kind: "drop" | "lamp";
  readonly shotId: string;
  readonly captureRateHz: Measured;
  /** Each source's relative part of u(rate)/rate. */
  readonly parts: Readonly<Record<string, number>>;
}

// m/s²: equator to pole is ± 0.026, rectangular
const UNKNOWN_PLACE_G: Measured = { value: STANDARD_GRAVITY, u: 0.015 };

/** What the checks of one clip or of several say. */
interface ClockChecks {
  readonly checks: readonly ClockCheck[];
  /** Refusals and doubts. */
  readonly notices: readonly ShotNotice[];
}

/** Checks in the clips of every shot of the same camera; `notices` are of this one: each tells its own. */
export function checksOfCamera(filmed: FilmedShot): ClockChecks {
  const each = filmed.ofSameCamera.map((one) => ({ one, ...clockChecksOf({ ...filmed, ...one }) }));
  const own = each.find(({ one }) => one.shotAt === filmed.shotAt);
  return { checks: each.flatMap(({ checks }) => checks), notices: own?.notices ?? [] };
}

/** Checks of the capture rate that one shot's clip holds. None where a number they rest on cannot be. */
export function clockChecksOf(filmed: FilmedShot): ClockChecks {
  const { shot, points } = filmed;
  const checks: ClockCheck[] = [];
  const notices: ShotNotice[] = [];
  const falls = points
    .filter((point) => point.on === "dropped")
    .map(({ id }) => shot.marks.filter((mark) => mark.pointId === id).sort((a, b) => a.frame - b.frame))
    .filter((marks) => marks.length > 0);
  const lamp = shot.lamp !== undefined && shot.lamp.frames.length > 0 ? shot.lamp : null;
  // Before the faults are looked for: most shots hold no check, and each is asked once for
  // every shot of its camera.
  if (falls.length === 0 && lamp === null) return { checks, notices };
  if (measurementFaults({ ...filmed, shot: { ...shot, clock: null } }).some(isImpossible))
    return { checks, notices };
  for (const marks of falls) {
    try {
      dropInto(filmed, marks, checks, notices);
    } catch (error) {
      if (!(error instanceof UnseenPlaceError)) throw error; // where the shot is measured, that is a refusal
    }
  }
  if (lamp !== null) lampInto(shot, lamp, checks, notices);
  return { checks, notices };
}

function dropInto(
  { shot, camera, site }: FilmedShot,
  marks: readonly Mark[],
  checks: ClockCheck[],
  notices: ShotNotice[],
): void {
  const { plane } = pictureOnPlane(shot, camera?.lens, null);
  if (plane === null) return; // the missing scale is worded where the shot itself is measured
  const { airPressurePa: p, temperatureK: t } = shot.conditions;
  const density = airDensity(p.value, t.value);
  const check = dropCheck({
    marks: marks.map((mark) => {
      const [x, y] = plane.straighten([mark.x, mark.y]);
      return { frame: mark.frame, x, y, u: mark.u };
    }),
    scale: plane.scale,
    gravity: site === undefined ? UNKNOWN_PLACE_G : localGravity(site.latitudeRad, site.heightM),
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
  for (const doubt of check.value.doubts) notices.push(DROP_NOTICES[`drop-${doubt.code}`]());
}

function lampInto(
  shot: Shot,
  lamp: NonNullable<Shot["lamp"]>,
  checks: ClockCheck[],
  notices: ShotNotice[],
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
  notices.push(check.ok ? LAMP_NOTICES["lamp-uneven"]() : LAMP_NOTICES[`lamp-${check.code}`]());
}

const NEEDED_MARKS = 8;

function dropNotice(code: DropRefusal, numbers: Readonly<Record<string, number>>): ShotNotice {
  return code === "too-few-marks"
    ? DROP_NOTICES["drop-too-few-marks"](numbers.marks, numbers.neededMarks ?? NEEDED_MARKS)
    : DROP_NOTICES[`drop-${code}`]();
}
