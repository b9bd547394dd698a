import { showMeasured } from "../quantity/display.ts";
import type { Clock } from "../session/schema.ts";
import type { RatesBetween } from "./look-for-set-up.ts";

/**
 * A former shot's clock for a clip of the same setting: the stated rate alone, since lost and repeated frames
 * are of one clip. Nothing where the files tell of different rates, or where the clock has parts, whose
 * borders another clip has elsewhere.
 */
export function clockOver(clock: Clock | null, rates: RatesBetween): { readonly clock?: Clock } {
  if (clock === null || whyNoClock(clock, rates) !== null) return {};
  if (clock.kind === "timestamps") return { clock: { kind: clock.kind, rateError: clock.rateError } };
  const { kind, captureRateHz, useChecks } = clock;
  return { clock: { kind, captureRateHz, ...(useChecks !== undefined && { useChecks }) } };
}

function whyNoClock(clock: Clock, rates: RatesBetween): "rates" | "parts" | null {
  if (rates === "differ") return "rates";
  return clock.kind === "capture-rate" && (clock.parts ?? []).length > 0 ? "parts" : null;
}

/** What becomes of a former shot's clock, and what to do, for a person. */
export function clockSays(clock: Clock | null, rates: RatesBetween, former: string): string {
  if (clock === null) return "";
  switch (whyNoClock(clock, rates)) {
    case "rates":
      return `The files tell of different rates, so the clock of ${former} is not taken over: state this clip's.`;
    case "parts":
      return `The clock of ${former} has parts, whose borders lie elsewhere in this clip, so it is not taken over: state this clip's.`;
    case null: {
      if (clock.kind === "timestamps") return "The clock is the file's own timestamps, as there.";
      const rate = `The capture rate is taken to be ${showMeasured(clock.captureRateHz, "Hz").text}, as there`;
      if (rates === "one") return `${rate}; both files name one rate.`;
      return `${rate}; neither file names it, so change it if the camera was set otherwise.`;
    }
  }
}
