import { combineRates, weightedMean } from "../clock/combine-rate.ts";
import { frameClock } from "../clock/frame-clock.ts";
import { showExact } from "../quantity/display.ts";
import type { Measured } from "../quantity/measured.ts";
import type { Heading } from "../quantity/notice.ts";
import { CLOCK_NOTICES } from "../results/notices/clock-notices.ts";
import type { ShotNotice } from "../results/notices/shot-notices.ts";
import { type ClipFacts, timestampsS } from "../session/clip-facts.ts";
import type { FilmedShot } from "../session/filmed-shot.ts";
import type { Clock, Shot } from "../session/schema.ts";
import { captureRate, isClockAssumed, stampError } from "./assumed.ts";
import type { ClockCheck } from "./clock-check.ts";
import { checksOfCamera } from "./clock-checks.ts";
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
      return { clock: { clock: clock.value, captureRateHz: null, checks, rateErrors, rowOf }, notices };
    }
    return {
      clock: null,
      notices: [...notices, CLOCK_NOTICES["no-timestamps"]()],
    };
  }
  const { value, u } = captureRate(stated.captureRateHz);
  const rate = combined({ value, u }, checks, stated.useChecks === true);
  const clock = frameClock(
    { kind: "capture-rate", captureRateHz: rate.rate, gaps: stated.gaps, ...detail },
    null,
  );
  if (!clock.ok) throw new Error(`shotClock: ${clock.code}`); // a clock by capture rate refuses nothing
  return {
    clock: { clock: clock.value, captureRateHz: rate.rate, checks, rateErrors: rate.errors, rowOf },
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

/**
 * The stated rate and its checks as one, with what each error of the checks does to it: two drops measured
 * with one rod share its error. Checks that are not to be used still contradict: then, as where there is no
 * common rate to give, the stated one is off by as much as it differs from them.
 */
function combined(
  stated: Measured,
  checks: readonly ClockCheck[],
  used: boolean,
): {
  readonly rate: Measured;
  readonly errors: ReadonlyMap<string, number>;
  readonly notices: readonly ShotNotice[];
} {
  const ofChecks = checks.map(({ captureRateHz, errors }) => ({
    ...captureRateHz,
    errors: new Map(errors.map(({ key, relative }) => [key, relative])),
  }));
  const rates = combineRates([stated, ...ofChecks]);
  if (!rates.ok) {
    const off = stated.value - weightedMean(ofChecks).value;
    const rate = { value: stated.value, u: Math.hypot(stated.u, off) };
    return { rate, errors: new Map(), notices: [CLOCK_NOTICES["rates-disagree"](Math.abs(off))] };
  }
  if (!used) return { rate: stated, errors: new Map(), notices: [] };
  const errors = new Map<string, number>();
  ofChecks.forEach((one, i) => {
    const weight = rates.value.weights[i + 1] ?? 0;
    for (const [key, relative] of one.errors) errors.set(key, (errors.get(key) ?? 0) + weight * relative);
  });
  return { rate: rates.value.captureRateHz, errors, notices: [] };
}
