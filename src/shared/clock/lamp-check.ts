import { weightedPolynomial } from "../numeric/weighted-polynomial.ts";
import type { Measured } from "../quantity/measured.ts";
import { ok, type Result, refuse } from "../quantity/result.ts";
import type { Doubt } from "./doubt.ts";
import { clippedByStrip, momentsOf, stripCorners } from "./strip-polygon.ts";

/**
 * The first frame that shows blink number `blink` (counted from any start, skipped blinks counted too; always
 * the same edge, on or off).
 */
export interface LampEvent {
  readonly frame: number;
  readonly blink: number;
  /**
   * Frames the camera took from the last one that did not show it to this one: 1 unless frames are missing
   * there. The change lies anywhere in between.
   */
  readonly withinFrames?: number;
}

export interface LampCheck {
  readonly captureRateHz: Measured;
  /** Each source's relative contribution to u(f)/f. */
  readonly parts: { readonly frames: number; readonly interval: number };
  readonly framesPerBlink: Measured;
  /** Largest residual from even blinking, frames; 0.5 or less when the counting is right. */
  readonly largestResidual: number;
  readonly doubts: readonly Doubt<"uneven-blinks">[];
}

const FRAMES_NEEDED = 10; // between first and last event: below it even the best reading leaves u(f)/f of 4 %
const UNEVEN_REFUSED = 2; // frames; farther off, a blink is miscounted

/**
 * Capture rate from a lamp of known blink interval: frame_j = k0 + b j, f = b/P, with P the time of one
 * blink. Each reading is off by up to half a frame either way (rectangular), and neighbouring readings'
 * errors are NOT independent: a lamp almost in step with the camera drifts through the frame. So b is the
 * mean, and u(b) the standard deviation, over all lines that pass within half a frame of every event (or half
 * of the gap before it), each
 * equally likely (JCGM 101:2008, 6.4.2, with one rectangle an event). For two events n frames apart this is
 * u(b)/b = (0.5/√3) √2/n exactly; many blinks narrow it faster than least squares would. Where no line passes
 * (a lamp that is not even, or events worse than said), least squares and the scatter of its residuals stand
 * in, and a doubt is raised. (u(f)/f)² = (u(b)/b)² + (u(P)/P)².
 * @param events two or more, both numbers strictly increasing
 * @param intervalS s from one blink to the next; its error is the lamp's own rate error, common to all blinks
 * @returns "too-few-events" under 2; "too-short" under 10 frames from first to last; "miscounted" when an
 *   event is over 2 frames off, with its place in the list
 * @throws RangeError when events are out of order or not finite, a blink is no whole number,
 *   or the interval is not > 0
 */
export function lampCheck(
  events: readonly LampEvent[],
  intervalS: Measured,
): Result<LampCheck, "too-few-events" | "too-short" | "miscounted"> {
  checkInput(events, intervalS);
  const [first, last] = [events[0], events.at(-1)];
  if (first === undefined || last === undefined || events.length < 2) {
    return refuse("too-few-events", { events: events.length, neededEvents: 2 });
  }
  const frames = last.frame - first.frame;
  if (frames < FRAMES_NEEDED) return refuse("too-short", { frames, neededFrames: FRAMES_NEEDED });
  const line = weightedPolynomial(
    events.map(({ blink }) => blink),
    events.map(middleOf),
    events.map((event) => halfOf(event) / Math.sqrt(3)),
    1,
  );
  const perBlink = lineThroughAll(events, line.coefficients, line.centre, line.half);
  const residuals = line.residuals.map(Math.abs);
  const largest = Math.max(...residuals);
  if (perBlink === null && largest > UNEVEN_REFUSED) {
    return refuse("miscounted", {
      event: residuals.indexOf(largest),
      residualFrames: largest,
      allowedFrames: UNEVEN_REFUSED,
    });
  }
  const widen = line.dof > 0 ? Math.max(1, Math.sqrt(line.chi2 / line.dof)) : 1;
  const framesPerBlink = perBlink ?? {
    value: line.coefficients[1] / line.half,
    u: (widen * Math.sqrt(line.covariance[1]?.[1])) / line.half,
  };
  const parts = { frames: framesPerBlink.u / framesPerBlink.value, interval: intervalS.u / intervalS.value };
  const rate = framesPerBlink.value / intervalS.value;
  return ok({
    captureRateHz: { value: rate, u: rate * Math.hypot(parts.frames, parts.interval) },
    parts,
    framesPerBlink,
    largestResidual: largest,
    doubts: perBlink === null ? [{ code: "uneven-blinks", numbers: { residualFrames: largest } }] : [],
  });
}

/**
 * Frames per blink over all lines within half a frame of every event; null when there is none. In the plane
 * of the two corrections (p, q) to the least-squares line, each event leaves a strip |r - p - q z| <= 1/2,
 * and the lines that pass are the strips' common polygon.
 */
function lineThroughAll(
  events: readonly LampEvent[],
  [c0, c1]: readonly number[],
  centre: number,
  half: number,
): Measured | null {
  const strips = events.map((event) => {
    const z = (event.blink - centre) / half;
    return { z, middle: middleOf(event) - c0 - c1 * z, half: halfOf(event) };
  });
  const [first, last] = [strips[0], strips.at(-1)] as [(typeof strips)[number], (typeof strips)[number]];
  let polygon = stripCorners(first, last);
  for (const strip of strips.slice(1, -1)) polygon = clippedByStrip(polygon, strip);
  const moments = momentsOf(polygon);
  if (moments === null) return null;
  return { value: (c1 + moments.meanQ) / half, u: moments.sdQ / half };
}

/** Half of the frames that an event lies within: rectangular. */
function halfOf({ withinFrames = 1 }: LampEvent): number {
  return withinFrames / 2;
}

function middleOf(event: LampEvent): number {
  return event.frame - halfOf(event);
}

function checkInput(events: readonly LampEvent[], intervalS: Measured): void {
  events.forEach(({ frame, blink, withinFrames = 1 }, i) => {
    const before = events[i - 1] ?? { frame: Number.NEGATIVE_INFINITY, blink: Number.NEGATIVE_INFINITY };
    if (
      !Number.isFinite(frame) ||
      !Number.isInteger(blink) ||
      frame <= before.frame ||
      !(withinFrames > 0) ||
      blink <= before.blink
    ) {
      throw new RangeError(`lampCheck: event ${i} (frame ${frame}, blink ${blink}) is out of order`);
    }
  });
  if (!(intervalS.value > 0) || !(intervalS.u >= 0)) {
    throw new RangeError(`lampCheck: need an interval > 0; got ${intervalS.value} ± ${intervalS.u} s`);
  }
}
