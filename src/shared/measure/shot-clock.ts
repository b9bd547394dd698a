import { frameClock } from "../clock/frame-clock.ts";
import { showExact } from "../quantity/display.ts";
import type { Heading } from "../quantity/notice.ts";
import { CLOCK_NOTICES } from "../results/notices/clock-notices.ts";
import type { ShotNotice } from "../results/notices/shot-notices.ts";
import { type ClipFacts, timestampsS } from "../session/clip-facts.ts";
import type { FilmedShot } from "../session/filmed-shot.ts";
import type { Clock, Shot } from "../session/schema.ts";
import { captureRate, isClockAssumed, stampError } from "./assumed.ts";
import { checksOfCamera } from "./clock-checks.ts";
import { clockOfParts } from "./clock-of-parts.ts";
import { checksOfRate, rateInUse } from "./rate-in-use.ts";
import { readoutOf } from "./row-readout.ts";
import type { ShotClock } from "./shot-timing.ts";

/** The clock of a shot with the checks of its camera; null when there is none, with notices that say why. */
export function shotClock(
  filmed: FilmedShot,
  facts: ClipFacts | null,
): { readonly clock: ShotClock | null; readonly notices: readonly ShotNotice[] } {
  const { shot, camera } = filmed;
  const { clock: stated } = shot;
  if (stated === null) {
    return {
      clock: null,
      notices: [CLOCK_NOTICES["no-clock"]()],
    };
  }
  const { checks, notices: ofChecks } = checksOfCamera(filmed, facts);
  const notices = [
    ...ofChecks,
    ...(isClockAssumed(stated) ? [CLOCK_NOTICES["rate-u-assumed"](stated.kind)] : []),
  ];
  const { readout, rowOf } = readoutOf(camera?.readoutS, facts);
  const detail = { repeats: stated.repeats ?? null, readout };
  if (stated.kind === "timestamps") {
    const beyond = facts === null ? null : outsideStamps(shot, stated, facts);
    if (beyond !== null) return { clock: null, notices: [...notices, beyond] };
    const clock = frameClock(
      { kind: "timestamps", rateError: stampError(stated.rateError), ...detail },
      facts === null ? null : timestampsS(facts),
    );
    if (clock.ok) {
      const rateErrors = new Map<string, number>();
      const rest = { captureRateHz: null, parts: [], checks, rateErrors, rowOf };
      return { clock: { clock: clock.value, ...rest }, notices };
    }
    return {
      clock: null,
      notices: [...notices, CLOCK_NOTICES["no-timestamps"]()],
    };
  }
  if (stated.parts !== undefined && stated.parts.length > 0) {
    const { clock, movedBy, parts, notices: ofParts } = clockOfParts(stated, checks, readout);
    const rateErrors = new Map<string, number>();
    return {
      clock: { clock, movedBy, captureRateHz: null, parts, checks, rateErrors, rowOf },
      notices: [...notices, ...ofParts],
    };
  }
  const { value, u } = captureRate(stated.captureRateHz);
  const ofRate = checksOfRate({ value, u }, checks, false);
  const rate = rateInUse({ value, u }, ofRate, stated.useChecks === true);
  const clock = frameClock(
    { kind: "capture-rate", captureRateHz: rate.rate, gaps: stated.gaps, ...detail },
    null,
  );
  if (!clock.ok) throw new Error(`shotClock: ${clock.code}`); // a clock by capture rate refuses nothing
  return {
    clock: {
      clock: clock.value,
      captureRateHz: rate.rate,
      parts: [],
      checks,
      rateErrors: rate.errors,
      rowOf,
    },
    notices: [...notices, ...rate.notices],
  };
}

/**
 * Timestamps end where the clip does: what is said to lie beyond has no time. Release takes the
 * interval after its frame.
 */
function outsideStamps({ release }: Shot, { repeats }: Clock, facts: ClipFacts): ShotNotice | null {
  const count = facts.pts.length;
  const last = repeats?.frames.at(-1) ?? 0;
  if (last >= count) return beyondClip("A repeated frame", last, facts, "clock");
  if (release.by === "person" && Math.floor(release.frame) + 1 >= count) {
    return beyondClip("Release", release.frame, facts, "motion");
  }
  return null;
}

/** Something is said to be where the clip has no frame, or no frame after it. */
function beyondClip(what: string, frame: number, { pts }: ClipFacts, about: Heading): ShotNotice {
  return CLOCK_NOTICES["beyond-clip"](what, showExact(frame, "1"), pts.length - 1, about);
}
