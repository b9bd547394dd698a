import type { DropRefusal } from "../clock/drop-check.ts";
import { frameClock } from "../clock/frame-clock.ts";
import { type LampEvent, lampCheck } from "../clock/lamp-check.ts";
import { localGravity } from "../clock/local-gravity.ts";
import { airDensity } from "../launch/air.ts";
import { STANDARD_GRAVITY } from "../quantity/gravity.ts";
import type { Measured } from "../quantity/measured.ts";
import { refuse } from "../quantity/result.ts";
import { isImpossible } from "../results/input-notices.ts";
import { DROP_NOTICES, LAMP_NOTICES } from "../results/notices/clock-notices.ts";
import type { ShotNotice } from "../results/notices/shot-notices.ts";
import { UnseenPlaceError } from "../scale/unseen-place.ts";
import type { ClipFacts } from "../session/clip-facts.ts";
import type { FilmedShot } from "../session/filmed-shot.ts";
import { measurementFaults } from "../session/input-faults.ts";
import type { Clock, Mark, Shot } from "../session/schema.ts";
import { statedRateAt } from "./assumed.ts";
import type { ClockCheck } from "./clock-check.ts";
import { dropRate, frameFaults } from "./drop-rate.ts";

// m/s²: equator to pole is ± 0.026, rectangular
const UNKNOWN_PLACE_G: Measured = { value: STANDARD_GRAVITY, u: 0.015 };

/** What the checks of one clip or of several say. */
interface ClockChecks {
  readonly checks: readonly ClockCheck[];
  /** Refusals and doubts. */
  readonly notices: readonly ShotNotice[];
}

/**
 * Checks in the clips of every shot of the same camera; `notices` are of this one: each tells its own.
 * @param facts of this shot's clip: one camera's clips are taken to have one size of picture
 */
export function checksOfCamera(filmed: FilmedShot, facts: ClipFacts | null): ClockChecks {
  const each = filmed.ofSameCamera.map((one) => ({ one, ...clockChecksOf({ ...filmed, ...one }, facts) }));
  const own = each.find(({ one }) => one.shotAt === filmed.shotAt);
  return { checks: each.flatMap(({ checks }) => checks), notices: own?.notices ?? [] };
}

/** Checks of the capture rate that one shot's clip holds. None where a number they rest on cannot be. */
export function clockChecksOf(filmed: FilmedShot, facts: ClipFacts | null): ClockChecks {
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
  if (measurementFaults({ ...filmed, shot: { ...shot, clock: framesOnly(shot.clock) } }).some(isImpossible))
    return { checks, notices };
  for (const marks of falls) {
    try {
      dropInto(filmed, marks, facts, checks, notices);
    } catch (error) {
      if (!(error instanceof UnseenPlaceError)) throw error; // where the shot is measured, that is a refusal
    }
  }
  if (lamp !== null) lampInto(shot, lamp, checks, notices);
  return { checks, notices };
}

/** Of a shot's clock what its checks rest on: which frames the camera took. They find the rate themselves. */
function framesOnly(clock: Clock | null): Clock | null {
  if (clock === null) return null;
  const { repeats, gaps } = frameFaults(clock);
  return {
    kind: "capture-rate",
    captureRateHz: { value: 100, u: 1 },
    ...(repeats !== null && { repeats: { frames: [...repeats.frames], kind: repeats.kind } }),
    ...(gaps && { gaps }),
  };
}

function dropInto(
  filmed: FilmedShot,
  marks: readonly Mark[],
  facts: ClipFacts | null,
  checks: ClockCheck[],
  notices: ShotNotice[],
): void {
  const { shot, site } = filmed;
  const { airPressurePa: p, temperatureK: t } = shot.conditions;
  const density = airDensity(p.value, t.value);
  const found = dropRate(filmed, marks, facts, {
    gravity: site === undefined ? UNKNOWN_PLACE_G : localGravity(site.latitudeRad, site.heightM),
    ball:
      shot.ball === undefined
        ? null
        : {
            ...shot.ball,
            airDensity: { value: density, u: density * Math.hypot(p.u / p.value, t.u / t.value) },
          },
  });
  if (found === null) return;
  const statedHz = statedOver(
    shot.clock,
    marks.map(({ frame }) => frame),
  );
  if (statedHz === "several") {
    notices.push(DROP_NOTICES["drop-over-border"]());
    return;
  }
  if (!found.ok) {
    notices.push(dropNotice(found.code, found.numbers));
    return;
  }
  const { check, errors } = found.value;
  checks.push({ kind: "drop", shotId: shot.id, captureRateHz: check.captureRateHz, statedHz, errors });
  for (const doubt of check.doubts) notices.push(DROP_NOTICES[`drop-${doubt.code}`]());
}

function lampInto(
  shot: Shot,
  lamp: NonNullable<Shot["lamp"]>,
  checks: ClockCheck[],
  notices: ShotNotice[],
): void {
  const statedHz = statedOver(shot.clock, lamp.frames);
  if (statedHz === "several") {
    notices.push(LAMP_NOTICES["lamp-over-border"]());
    return;
  }
  const events = lampEvents(lamp.frames, shot.clock);
  const check = events === null ? refuse("miscounted" as const) : lampCheck(events, lamp.intervalS);
  if (check.ok) {
    const { captureRateHz, parts } = check.value;
    checks.push({
      kind: "lamp",
      shotId: shot.id,
      captureRateHz,
      statedHz,
      errors: [
        { key: `frames of the lamp in ${shot.id}`, relative: parts.frames },
        { key: `interval of the lamp ${JSON.stringify(lamp.intervalS)}`, relative: parts.interval },
      ],
    });
    if (check.value.doubts.length === 0) return;
  }
  notices.push(check.ok ? LAMP_NOTICES["lamp-uneven"]() : LAMP_NOTICES[`lamp-${check.code}`]());
}

/**
 * Hz, the rate that a clock with parts states for a stretch of frames; null of one that has none, "several"
 * where a border lies within the stretch, which then gives no rate.
 */
function statedOver(clock: Clock | null, frames: readonly number[]): number | null | "several" {
  const parts = clock?.kind === "capture-rate" ? (clock.parts ?? []) : [];
  if (parts.length === 0) return null;
  const [first, last] = [Math.min(...frames), Math.max(...frames)];
  const isInside = ({ from }: (typeof parts)[number]) => from.value > first && from.value < last;
  return parts.some(isInside) ? "several" : (statedRateAt(clock, first)?.value ?? null);
}

/**
 * Changes of a lamp by the frames that the camera took: repeats and gaps of the clip allowed for, and each
 * change somewhere between the frame that shows it and the one the camera took before. Null where two changes
 * fall on one frame.
 */
function lampEvents(frames: readonly number[], clock: Clock | null): readonly LampEvent[] | null {
  const taken = frameClock(
    { kind: "capture-rate", captureRateHz: { value: 1, u: 0 }, ...frameFaults(clock) },
    null,
  );
  if (!taken.ok) throw new Error(`lampEvents: ${taken.code}`); // a clock by capture rate refuses nothing
  const { timeOf } = taken.value;
  const events = frames.map((frame, blink) => {
    const at = timeOf(frame);
    let before = frame - 1;
    while (before > 0 && timeOf(before) >= at) before--;
    return { frame: at, blink, withinFrames: at > timeOf(before) ? at - timeOf(before) : 1 };
  });
  const isEven = events.every(({ frame }, i) => i === 0 || frame > (events[i - 1] as LampEvent).frame);
  return isEven ? events : null;
}

const NEEDED_MARKS = 8;

function dropNotice(code: DropRefusal, numbers: Readonly<Record<string, number>>): ShotNotice {
  return code === "too-few-marks"
    ? DROP_NOTICES["drop-too-few-marks"](numbers.marks, numbers.neededMarks ?? NEEDED_MARKS)
    : DROP_NOTICES[`drop-${code}`]();
}
