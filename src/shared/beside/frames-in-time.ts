import type { FrameClock } from "../clock/frame-clock.ts";
import { clockInUse } from "../measure/clock-in-use.ts";
import { readoutOf } from "../measure/row-readout.ts";
import type { Measured } from "../quantity/measured.ts";
import { ok, type Result, refuse } from "../quantity/result.ts";
import type { Measurement } from "../results/shot-result.ts";
import { type ClipFacts, timestampsS } from "../session/clip-facts.ts";
import type { FilmedShot } from "../session/filmed-shot.ts";

/** What the pictures of two shots can be counted from. */
export const INSTANTS = ["release", "first motion"] as const;
export type Instant = (typeof INSTANTS)[number];

/** When each frame of a clip shows the airframe, counted from an instant of its launch. */
export interface FramesInTime {
  /** frames of the clip, 1 or more */
  readonly count: number;
  /** s, clip time of the instant, and its standard uncertainty with the clock's rate left out */
  readonly zeroS: number;
  readonly zeroU: number;
  /** s from the instant, of a whole frame from 0 to count - 1; never decreasing */
  timeOf(frame: number): number;
  /** s, standard uncertainty of that */
  uOf(frame: number): number;
}

/** What a measurement says of when the launch was. */
export type InstantsOf = Pick<
  Measurement,
  "quantities" | "budget" | "releaseClipS" | "startClipS" | "startClipU" | "captureRateHz" | "clockParts"
>;

export type NotInTime = "no-clock" | "no-frames" | "no-release" | "no-first-motion";

/**
 * The frames of a measured shot's clip in time from an instant of its launch: t = t_k + lag - t_0, with t_k
 * by the clock that the measurement used, and lag how much later the rows are read in which the airframe lies
 * at that instant (rolling shutter). u(t)² = u(t_0)² + (t u(f)/f)²: the error of the rate moves frame and
 * instant together, so that only the time between them has it; that of the readout is in both alike.
 * @returns refusals: "no-clock" where the clock does not fit the clip, "no-release" and "no-first-motion"
 *   where the marks do not show that instant
 */
export function framesInTime(
  { shot, camera, points }: Pick<FilmedShot, "shot" | "camera" | "points">,
  facts: Pick<ClipFacts, "pts" | "timeBase" | "width" | "height" | "rotationDeg">,
  measurement: InstantsOf,
  instant: Instant,
): Result<FramesInTime, NotInTime> {
  const count = facts.pts.length;
  if (count === 0) return refuse("no-frames");
  const zero = launchInstant(measurement, instant);
  if (zero === null) return refuse(instant === "release" ? "no-release" : "no-first-motion");
  const { value: zeroS, u: zeroU } = zero;
  const clock = clockFor(shot, facts, measurement);
  if (clock === null) return refuse("no-clock");

  const { readout, rowOf } = readoutOf(camera?.readoutS, facts);
  const onAirframe = new Set(points.filter(({ on }) => on === "airframe").map(({ id }) => id));
  const row = rowAt(
    shot.marks.filter(({ pointId, frame }) => onAirframe.has(pointId) && frame < count),
    (frame) => Math.abs(clock.timeOf(frame) - zeroS),
    rowOf,
  );
  const lagS = readout === null || row === null ? 0 : (row / readout.heightPx - 0.5) * readout.readoutS.value;
  const timeOf = (frame: number) => clock.timeOf(frame) + lagS - zeroS;
  return ok({
    count,
    zeroS,
    zeroU,
    timeOf,
    uOf: (frame) => Math.hypot(zeroU, clock.relativeU * timeOf(frame)),
  });
}

/** s, clip time of an instant, u without the clock's rate; null where the marks do not show it. */
export function launchInstant(measurement: InstantsOf, instant: Instant): Measured | null {
  const release = instant === "release";
  const u = release ? releaseU(measurement) : (measurement.startClipU ?? null);
  return u === null ? null : { value: release ? measurement.releaseClipS : measurement.startClipS, u };
}

/** s, u of release without what a frame's time shares with it; null where no release is stated. */
function releaseU({ quantities, budget }: InstantsOf): number | null {
  const stated = quantities.releaseTime;
  if (stated === undefined) return null;
  const lines = budget.releaseTime;
  if (lines === undefined) return stated.u;
  return Math.hypot(
    ...lines.filter(({ source }) => source !== "clock" && source !== "shutter").map(({ u }) => u),
  );
}

/** Null without a clock, or where what the document says of the clip's frames does not fit the clip. */
function clockFor(
  shot: FilmedShot["shot"],
  facts: Pick<ClipFacts, "pts" | "timeBase">,
  measurement: InstantsOf,
): FrameClock | null {
  try {
    const clock = clockInUse(shot, timestampsS(facts), measurement);
    clock?.timeOf(facts.pts.length - 1); // reads every gap and repeat
    return clock;
  } catch (error) {
    if (error instanceof RangeError) return null;
    throw error;
  }
}

/** px, the mean row of the marks in the frame that lies nearest to an instant; null without marks. */
function rowAt(
  marks: FilmedShot["shot"]["marks"],
  apart: (frame: number) => number,
  rowOf: (x: number, y: number) => number,
): number | null {
  const frames = [...new Set(marks.map(({ frame }) => frame))];
  const nearest = frames.reduce<number | null>(
    (best, frame) => (best === null || apart(frame) < apart(best) ? frame : best),
    null,
  );
  if (nearest === null) return null;
  const rows = marks.filter(({ frame }) => frame === nearest).map(({ x, y }) => rowOf(x, y));
  return rows.reduce((sum, row) => sum + row, 0) / rows.length;
}
