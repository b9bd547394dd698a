import { type ClockPart, partAt, ratesOfParts } from "../clock/clock-parts.ts";
import { RATE_SHARE, ROD_SHARE, STAMP_U } from "../inputs/assumed-u.ts";
import type { Measured } from "../quantity/measured.ts";
import type { Clock } from "../session/schema.ts";

/*
 * What stands for an uncertainty that a person left out. Nothing measured is exact, so a ± of 0 counts as
 * left out. Each is at least what the camera planner allows for in its usual set-up, so that no measurement
 * states less than the plan promised. Common practice, no source.
 */

/**
 * m/s along either axis, of a camera whose movement was taken out by the background: how fast a hand carries
 * it aside, times the share by which the background is farther off than the flight. From memory; no source.
 */
export const CARRIED_M_PER_S = 0.02;
/** m, camera to the rod, where neither lens nor picture says. */
const USUAL_DISTANCE_M = 2.5;

/** What tells how far the camera stood. */
export interface SeenFrom {
  /** px, of a lens profile; null without one. */
  readonly focalPx: number | null;
  /** px, of the upright picture; null when the clip was not read. */
  readonly widthPx: number | null;
}

/**
 * m, camera to the rod: by the focal length of the lens, or else as far as the picture is wide there, which
 * is nearer than all but wide lenses stand, and so states no less than a plan for the same set-up.
 * @param scale m/px at the rod
 */
export function assumedDistanceM(scale: number, { focalPx, widthPx }: SeenFrom): number {
  const px = focalPx ?? widthPx;
  return px === null ? USUAL_DISTANCE_M : scale * px;
}

export function rodLength(stated: Measured): Measured {
  return orAssumed(stated, ROD_SHARE * Math.abs(stated.value));
}

export function captureRate(stated: Measured): Measured {
  return orAssumed(stated, RATE_SHARE * Math.abs(stated.value));
}

export function stampError(stated: Measured): Measured {
  return orAssumed(stated, STAMP_U);
}

/** Frames, u of a part's border that nobody stated: anywhere within the step between two frames. */
const BORDER_U = 0.5 / Math.sqrt(3);

/** The parts of a clock as stated, with a usual uncertainty wherever none is. */
export function clockParts(clock: Clock | null): readonly ClockPart[] {
  const stated = clock?.kind === "capture-rate" ? (clock.parts ?? []) : [];
  return stated.map(({ from, captureRateHz }) => ({
    from: orAssumed(from, BORDER_U),
    captureRateHz: captureRate(captureRateHz),
  }));
}

/**
 * Hz, what a clock by capture rate states for the step from a frame on; null by timestamps or without one.
 */
export function statedRateAt(clock: Clock | null, frame: number): Measured | null {
  if (clock?.kind !== "capture-rate") return null;
  const parts = clock.parts ?? [];
  return ratesOfParts(clock.captureRateHz, parts)[partAt(frame, parts)] ?? null;
}

/** Whether a clock's rate has no uncertainty of its own. */
export function isClockAssumed(clock: Clock | null): boolean {
  if (clock === null) return false;
  if (clock.kind === "timestamps") return stampError(clock.rateError).assumed === true;
  const parts = clockParts(clock);
  const rates = ratesOfParts(captureRate(clock.captureRateHz), parts);
  return [...rates, ...parts.map(({ from }) => from)].some(({ assumed }) => assumed === true);
}

function orAssumed(stated: Measured, assumedU: number): Measured {
  return stated.u === 0 ? { value: stated.value, u: assumedU, assumed: true } : stated;
}
