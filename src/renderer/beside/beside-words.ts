import type { Instant } from "../../shared/beside/frames-in-time.ts";
import type { FramePair } from "../../shared/beside/pair-frames.ts";
import { showMeasured } from "../../shared/quantity/display.ts";
import type { Measured } from "../../shared/quantity/measured.ts";

/** "−2.1 ± 0.3 ms" */
function ms({ value, u }: Measured, signed: boolean): string {
  return `${showMeasured({ value: value * 1000, u: u * 1000 }, "1", "SI", signed).text} ms`;
}

/** A frame's own time: "−2.1 ± 0.3 ms from release". */
export function timeText(time: Measured, from: Instant): string {
  return `${ms(time, true)} from ${from}`;
}

/** How far the two frames are apart in time, and which of them is the later where that is known. */
export function apartText(
  { apart }: FramePair,
  names: readonly [string, string],
  places: readonly [string, string],
): string {
  if (apart.value === 0 && apart.u === 0) return "Both are the same frame.";
  const size = ms({ value: Math.abs(apart.value), u: apart.u }, false);
  if (Math.abs(apart.value) <= apart.u) return `The two frames are ${size} apart: as near as can be told.`;
  const later = apart.value < 0 ? 0 : 1;
  return names[0] === names[1]
    ? `The ${places[later]} frame is ${size} later than the other.`
    : `The frame of ${names[later]} is ${size} later than that of ${names[1 - later]}.`;
}
