import { lastOf } from "../quantity/known-element.ts";
import type { Measured } from "../quantity/measured.ts";
import { ok, type Result, refuse } from "../quantity/result.ts";
import { type ClockPart, ratesOfParts, timeByParts } from "./clock-parts.ts";

/**
 * Frames that show the picture before them once more, from 1, strictly increasing. "inserted": padding that
 * took no time, so later frames are earlier than their number says. "stale": the camera lost a frame and
 * filled it; later frames keep their time.
 */
export interface Repeats {
  readonly frames: readonly number[];
  readonly kind: "inserted" | "stale";
}

/**
 * Frames the camera took, or should have taken, that are not in the file: `missing` of them
 * after frame `afterFrame`.
 */
export interface Gap {
  readonly afterFrame: number;
  readonly missing: number;
}

/**
 * Rolling shutter: s from the reading of the upright picture's top edge to that of its bottom edge, negative
 * when the camera stood on its head; and the picture's height. Of a clip turned a quarter, rows were read
 * across the upright picture: then the width stands for the height and x for y, everywhere below.
 */
export interface Readout {
  readonly readoutS: Measured;
  readonly heightPx: number;
}

interface ClockDetail {
  readonly repeats?: Repeats | null | undefined;
  readonly readout?: Readout | null | undefined;
}

/**
 * How time is kept: by the camera's capture rate, or by each frame's own timestamp
 * (which knows its gaps itself).
 */
export type ClockInput =
  | ({
      readonly kind: "capture-rate";
      readonly captureRateHz: Measured;
      /** By frame, strictly increasing. */
      readonly gaps?: readonly Gap[] | undefined;
      /**
       * Stretches at other rates, by their borders, strictly increasing from above 0; `captureRateHz` is then
       * that of the frames before the first border.
       */
      readonly parts?: readonly ClockPart[] | undefined;
    } & ClockDetail)
  | ({ readonly kind: "timestamps"; readonly rateError: Measured } & ClockDetail);

/**
 * The map from frame index to seconds, with the relative standard uncertainty of its rate
 * (one error for all frames).
 */
export interface FrameClock {
  /**
   * s, of the middle row, or of row `yPx` (down from the top of the upright picture).
   * Never decreasing in `frame`.
   */
  timeOf(frame: number, yPx?: number): number;
  /**
   * dt/d(readout) at a row, y/H - 1/2: signed, since one readout error moves all marks of the
   * clip. 0 without a readout.
   */
  rowFraction(yPx: number): number;
  /**
   * s, standard uncertainty of a mark's time from the readout time alone, |y/H - 1/2| u(readout):
   * systematic, never scatter.
   */
  rowU(yPx: number): number;
  readonly relativeU: number;
  readonly how: string;
}

/**
 * Frame index and row to seconds: t = t_k + (y/H - 1/2) readout.
 * "capture-rate": t_k = (k + missing frames before k) / f, so frame 0 is t = 0 and the file's own
 * timestamps are not used: a conformed file plays at another rate than was filmed. "timestamps": t_k = (T_k
 * - T_0) (1 + e), with T_k the frame's own time. Straight lines between frames for fractional k. u of times
 * is relative: u(f)/f, or u(e).
 * A clip with parts has f of the part that a step lies in, and `relativeU` is the largest of its rates'.
 * A repeated frame shows the time of the frame it repeats. Inserted repeats also take their interval out of
 * all later times: 1/f each by the capture rate, T_r - T_(r-1) by timestamps.
 * t_k is the middle of the exposure of the middle row. Where the exposure stays the same that is
 * a constant and drops out of every speed; a camera that changes its exposure during the shot
 * moves t_k by half the change.
 * Source of the row time: Meingast, Geyer & Sastry, "Geometric models of rolling-shutter cameras" (2005).
 * @param timestampsS [n], s, increasing; null when the clip has not been inspected
 * @returns the clock; "no-timestamps" when the kind needs them and there are none
 * @throws RangeError when a rate is not > 0, when repeats, gaps, parts or readout are not as said above, when
 *   a repeat lies outside the timestamps, and from timeOf on a frame outside the timestamps
 */
export function frameClock(
  input: ClockInput,
  timestampsS: readonly number[] | null,
): Result<FrameClock, "no-timestamps"> {
  checkDetail(input);
  if (input.kind === "capture-rate") {
    const { captureRateHz, gaps = [], parts = [], repeats = null } = input;
    checkRates(captureRateHz, parts);
    const at =
      parts.length > 0
        ? bySteps(stepsOf(captureRateHz, parts), gaps, repeats)
        : byRate(captureRateHz.value, gaps, repeats);
    const relativeU = Math.max(...ratesOfParts(captureRateHz, parts).map(({ value, u }) => u / value));
    const how = parts.length > 0 ? "capture rates of the clip's parts" : "capture rate";
    return ok({ ...rows(at, input.readout ?? null), relativeU, how });
  }
  if (timestampsS === null || timestampsS.length < 2) return refuse("no-timestamps");
  const at = byStamps(timestampsS, 1 + input.rateError.value, input.repeats ?? null);
  return ok({
    ...rows(at, input.readout ?? null),
    relativeU: input.rateError.u,
    how: "the frames' own timestamps",
  });
}

type FrameTime = (frame: number) => number;

function byRate(rateHz: number, gaps: readonly Gap[], repeats: Repeats | null): FrameTime {
  if (gaps.length === 0 && (repeats === null || repeats.frames.length === 0))
    return (frame) => frame / rateHz;
  const shown = shownFrame(repeats);
  const inserted = repeats?.kind === "inserted" ? repeats.frames : [];
  const missing = [0];
  for (const gap of gaps) missing.push(lastOf(missing) + gap.missing);
  const after = gaps.map((gap) => gap.afterFrame + 1);
  return between((frame) => {
    const k = shown(frame);
    return (k - countUpTo(inserted, k) + missing[countUpTo(after, k)]) / rateHz;
  });
}

function stepsOf(captureRateHz: Measured, parts: readonly ClockPart[]): FrameTime {
  return timeByParts(
    captureRateHz.value,
    parts.map((part) => ({ fromFrame: part.from.value, captureRateHz: part.captureRateHz.value })),
  );
}

/** As byRate, where each step from frame to frame takes its own time. */
function bySteps(steps: FrameTime, gaps: readonly Gap[], repeats: Repeats | null): FrameTime {
  const shown = shownFrame(repeats);
  const inserted = repeats?.kind === "inserted" ? repeats.frames : [];
  const padding = [0];
  for (const r of inserted) padding.push(lastOf(padding) + steps(r) - steps(r - 1));
  const missing = [0];
  for (const { afterFrame: a, missing: count } of gaps) {
    missing.push(lastOf(missing) + count * (steps(a + 1) - steps(a)));
  }
  const after = gaps.map((gap) => gap.afterFrame + 1);
  const at = (frame: number) => {
    const k = shown(frame);
    return steps(k) - padding[countUpTo(inserted, k)] + missing[countUpTo(after, k)];
  };
  // A border between two frames lies within their step, which is not shared evenly there.
  return gaps.length === 0 && repeats === null ? steps : between(at);
}

function byStamps(stamps: readonly number[], stretch: number, repeats: Repeats | null): FrameTime {
  const first = stamps[0];
  const last = stamps.length - 1;
  const shown = shownFrame(repeats);
  const inserted = repeats?.kind === "inserted" ? repeats.frames : [];
  const beyond = (repeats?.frames.at(-1) ?? 0) > last;
  if (beyond)
    throw new RangeError(`frameClock: repeated frame ${repeats?.frames.at(-1)} is outside the clip`);
  const padding = [0];
  for (const r of inserted) {
    padding.push(lastOf(padding) + (stamps[r] as number) - (stamps[r - 1] as number));
  }
  const at = between((frame) => {
    const k = shown(frame);
    return (stamps[k] - first - padding[countUpTo(inserted, k)]) * stretch;
  });
  return (frame) => {
    if (frame >= 0 && frame <= last) return at(frame);
    throw new RangeError(`timeOf: frame ${frame} is outside the clip's ${stamps.length} frames`);
  };
}

/** The frame whose picture a frame shows: itself, or the last one before it that is no repeat. */
function shownFrame(repeats: Repeats | null): FrameTime {
  const repeated = new Set(repeats?.frames);
  return (frame) => {
    let k = frame;
    while (repeated.has(k)) k--;
    return k;
  };
}

/** Straight lines between whole frames. */
function between(at: FrameTime): FrameTime {
  return (frame) => {
    const k = Math.floor(frame);
    const from = at(k);
    return k === frame ? from : from + (frame - k) * (at(k + 1) - from);
  };
}

/** How many entries of an increasing list are <= k. */
function countUpTo(list: readonly number[], k: number): number {
  let [low, high] = [0, list.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (list[middle] <= k) low = middle + 1;
    else high = middle;
  }
  return low;
}

function rows(at: FrameTime, readout: Readout | null): Pick<FrameClock, "timeOf" | "rowFraction" | "rowU"> {
  if (readout === null) return { timeOf: (frame) => at(frame), rowFraction: () => 0, rowU: () => 0 };
  const { readoutS, heightPx } = readout;
  const rowFraction = (yPx: number) => yPx / heightPx - 0.5;
  return {
    timeOf: (frame, yPx) => at(frame) + (yPx === undefined ? 0 : rowFraction(yPx) * readoutS.value),
    rowFraction,
    rowU: (yPx) => Math.abs(rowFraction(yPx)) * readoutS.u,
  };
}

function checkRates(captureRateHz: Measured, parts: readonly ClockPart[]): void {
  for (const { value, u } of ratesOfParts(captureRateHz, parts)) {
    if (!(value > 0) || !(u >= 0)) throw new RangeError(`frameClock: need a rate > 0; got ${value} ± ${u}`);
  }
  parts.forEach(({ from }, k) => {
    const before = parts[k - 1]?.from.value ?? 0;
    if (!(from.value > before) || !(from.u >= 0)) {
      throw new RangeError(`frameClock: borders must increase from above 0; got ${from.value} ± ${from.u}`);
    }
  });
}

function checkDetail(input: ClockInput): void {
  const repeated = input.repeats?.frames ?? [];
  if (!repeated.every((r, i) => Number.isInteger(r) && r > (i === 0 ? 0 : repeated[i - 1]))) {
    throw new RangeError(`frameClock: repeated frames must increase from 1 on; got ${repeated.join(", ")}`);
  }
  const gaps = input.kind === "capture-rate" ? (input.gaps ?? []) : [];
  gaps.forEach(({ afterFrame, missing }, i) => {
    const before = gaps[i - 1]?.afterFrame ?? -1;
    if (!Number.isInteger(afterFrame) || afterFrame <= before || !Number.isInteger(missing) || missing < 1) {
      throw new RangeError(
        `frameClock: gaps must increase, 1 or more missing; got ${missing} after ${afterFrame}`,
      );
    }
  });
  if (input.readout === null || input.readout === undefined) return;
  const { readoutS, heightPx } = input.readout;
  if (!Number.isFinite(readoutS.value) || !(readoutS.u >= 0) || !(heightPx > 0)) {
    throw new RangeError(
      `frameClock: readout ${readoutS.value} ± ${readoutS.u} s over ${heightPx} px is none`,
    );
  }
}
