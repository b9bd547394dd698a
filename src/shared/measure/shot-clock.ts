import { combineRates } from "../clock/combine-rate.ts";
import { type FrameClock, frameClock, type Readout } from "../clock/frame-clock.ts";
import { showExact } from "../quantity/display.ts";
import type { Measured } from "../quantity/measured.ts";
import type { Heading } from "../quantity/notice.ts";
import { CLOCK_NOTICES } from "../results/notices/clock-notices.ts";
import type { ShotNotice } from "../results/notices/shot-notices.ts";
import { type ClipFacts, timestampsS } from "../session/clip-facts.ts";
import type { FilmedShot } from "../session/filmed-shot.ts";
import type { Clock, Shot } from "../session/schema.ts";
import { type ClockCheck, checksOfCamera } from "./clock-checks.ts";

export interface ShotClock {
  readonly clock: FrameClock;
  /** Hz, the rate in use; null for timestamps. */
  readonly captureRateHz: Measured | null;
  /** Checks found in the clips of the same camera, whether in use or not. */
  readonly checks: readonly ClockCheck[];
  /** The place of a mark along the rows as they are read, px, for clock.timeOf. */
  rowOf(x: number, y: number): number;
}

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
  const { checks, notices } = checksOfCamera(filmed);
  const { readout, rowOf } = readoutOf(camera?.readoutS, facts);
  const detail = { repeats: stated.repeats ?? null, readout };
  if (stated.kind === "timestamps") {
    const beyond = facts === null ? null : outsideStamps(shot, stated, facts);
    if (beyond !== null) return { clock: null, notices: [...notices, beyond] };
    const clock = frameClock(
      { kind: "timestamps", rateError: stated.rateError, ...detail },
      facts === null ? null : timestampsS(facts),
    );
    if (clock.ok) return { clock: { clock: clock.value, captureRateHz: null, checks, rowOf }, notices };
    return {
      clock: null,
      notices: [...notices, CLOCK_NOTICES["no-timestamps"]()],
    };
  }
  const rate =
    stated.useChecks === true
      ? combined(stated.captureRateHz, checks)
      : { rate: stated.captureRateHz, notices: [] };
  const clock = frameClock(
    { kind: "capture-rate", captureRateHz: rate.rate, gaps: stated.gaps, ...detail },
    null,
  );
  if (!clock.ok) throw new Error(`shotClock: ${clock.code}`); // a clock by capture rate refuses nothing
  return {
    clock: { clock: clock.value, captureRateHz: rate.rate, checks, rowOf },
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

const EXACT_RATE_U = 1e-9; // relative; a rate stated without uncertainty would hide every check

function combined(
  stated: Measured,
  checks: readonly ClockCheck[],
): { readonly rate: Measured; readonly notices: readonly ShotNotice[] } {
  const u = Math.max(stated.u, EXACT_RATE_U * stated.value);
  const rates = combineRates([{ value: stated.value, u }, ...checks.map((check) => check.captureRateHz)]);
  if (rates.ok) return { rate: rates.value.captureRateHz, notices: [] };
  return { rate: stated, notices: [CLOCK_NOTICES["rates-disagree"](Math.abs(rates.numbers.offHz ?? 0))] };
}

/**
 * The rolling shutter as the upright picture shows it: a turned clip was read across, or from the other side.
 */
function readoutOf(
  readoutS: Measured | undefined,
  facts: ClipFacts | null,
): { readonly readout: Readout | null; rowOf(x: number, y: number): number } {
  const none = { readout: null, rowOf: (_x: number, y: number) => y };
  if (readoutS === undefined || facts === null || (readoutS.value === 0 && readoutS.u === 0)) return none;
  const { width, height, rotationDeg } = facts;
  switch (rotationDeg) {
    case 90:
      return { readout: { readoutS, heightPx: width }, rowOf: (x) => width - x };
    case 180:
      return { readout: { readoutS, heightPx: height }, rowOf: (_x, y) => height - y };
    case 270:
      return { readout: { readoutS, heightPx: width }, rowOf: (x) => x };
    default:
      return { readout: { readoutS, heightPx: height }, rowOf: (_x, y) => y };
  }
}
