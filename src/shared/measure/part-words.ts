import { type ClockPart, ratesOfParts } from "../clock/clock-parts.ts";
import { showMeasured } from "../quantity/display.ts";
import type { Measured } from "../quantity/measured.ts";

/** "60.00 ± 0.12 frames/s to frame 120.0 ± 0.3, 960 ± 2 to frame 480.0 ± 0.3, then 60.00 ± 0.12" */
export function partsSay(captureRateHz: Measured, parts: readonly ClockPart[]): string {
  const shown = (one: Measured) => showMeasured(one, "1").text.trim();
  return ratesOfParts(captureRateHz, parts)
    .map((rate, k) => {
      const text = k === 0 ? `${shown(rate)} frames/s` : shown(rate);
      const end = parts[k];
      return end === undefined ? `then ${text}` : `${text} to frame ${shown(end.from)}`;
    })
    .join(", ");
}
