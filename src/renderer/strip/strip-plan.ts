import type { FrameClock } from "../../shared/clock/frame-clock.ts";
import { clockInUse } from "../../shared/measure/clock-in-use.ts";
import { showMeasured } from "../../shared/quantity/display.ts";
import type { Measurement } from "../../shared/results/shot-result.ts";
import { type ClipFacts, timestampsS } from "../../shared/session/clip-facts.ts";
import type { Point, Shot } from "../../shared/session/schema.ts";

/** Time along the strip: s of clip time at a frame, and the zero it is counted from. */
export interface StripTime {
  readonly timeOf: (frame: number) => number;
  /** s, clip time of the zero of the axis */
  readonly zeroS: number;
  readonly zeroIs: "release" | "first frame";
  /** Whether the person set the clock; without it the file's own timestamps stand in. */
  readonly clockSet: boolean;
}

/**
 * The strip's clock: the shot's own, else the file's timestamps as they are; counted from
 * release once it is known.
 */
export function stripTime(shot: Shot, facts: ClipFacts, measurement: Measurement | null): StripTime {
  const stamps = timestampsS(facts);
  const set = clockOf(shot, stamps, measurement);
  const first = stamps[0] ?? 0;
  const own = (frame: number) => (stamps[Math.round(frame)] ?? first) - first;
  return {
    timeOf: set?.timeOf ?? own,
    zeroS: measurement?.releaseClipS ?? 0,
    zeroIs: measurement === null ? "first frame" : "release",
    clockSet: set !== null,
  };
}

/**
 * The clock that the measurement used; null without one, or when what the document says of the clip's
 * frames does not fit the clip.
 */
function clockOf(shot: Shot, stamps: readonly number[], measurement: Measurement | null): FrameClock | null {
  try {
    return clockInUse(shot, stamps, measurement);
  } catch (error) {
    // said where the shot is measured; the strip goes on without
    if (error instanceof RangeError) return null;
    throw error;
  }
}

/** The frame index (with fraction) at a clip time, by bisection: times increase with the frame. */
export function frameAtTime(time: StripTime, clipS: number, count: number): number {
  let [low, high] = [0, Math.max(0, count - 1)];
  if (clipS <= time.timeOf(low)) return low;
  if (clipS >= time.timeOf(high)) return high;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (time.timeOf(middle) <= clipS) low = middle;
    else high = middle;
  }
  const [from, to] = [time.timeOf(low), time.timeOf(high)];
  return low + (clipS - from) / (to - from);
}

/** A dot of the strip: the length of one mark's residual in units of its u, 0 or more. */
export interface StripDot {
  readonly frame: number;
  readonly pointId: string;
  readonly z: number;
}

/** A mark that the fit leaves too far, said in words. */
export interface Misfit extends StripDot {
  readonly text: string;
}

// one mark in 3000 of normal errors in two coordinates lies beyond: not by chance in one shot
const MISFIT_Z = 4;
const NAMED = 3; // more names than this hide the strip; correcting the worst often corrects the rest

/** The worst misfits, worst first, at most three. */
export function misfitsOf(
  measurement: Measurement,
  points: readonly Point[],
  time: StripTime,
): readonly Misfit[] {
  return measurement.residuals
    .filter((one) => one.z > MISFIT_Z)
    .sort((a, b) => b.z - a.z)
    .slice(0, NAMED)
    .map(({ frame, pointId, z }) => {
      const name = points.find((point) => point.id === pointId)?.name ?? pointId;
      const ms = signedMs(time.timeOf(frame) - time.zeroS);
      return { frame, pointId, z, text: `${name} at ${ms} ms lies ${z.toFixed(1)} u off: look again` };
    });
}

/** Ms with sign and one decimal, minus as U+2212. */
export function signedMs(seconds: number, places = 1): string {
  const text = (seconds * 1000).toFixed(places);
  if (Number(text) === 0) return text.replace("-", "");
  return Number(text) > 0 ? `+${text}` : text.replace("-", "−");
}

/** "release ± 0.4 ms", or "release" alone when its u is not known. */
export function releaseText(measurement: Measurement): string {
  const release = measurement.quantities.releaseTime;
  if (release === undefined) return "release";
  return `release ± ${showMeasured({ value: 0, u: release.u * 1000 }, "1").u} ms`;
}
