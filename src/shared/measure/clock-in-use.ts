import { type FrameClock, frameClock } from "../clock/frame-clock.ts";
import type { Measurement } from "../results/shot-result.ts";
import type { Shot } from "../session/schema.ts";

/** The rates that a measurement used. */
export type RatesInUse = Pick<Measurement, "captureRateHz" | "clockParts">;

/**
 * The clock that a measurement used: as the shot states it, at the rates in use. Null without one, and where
 * what the document says of the clip's frames does not fit the clip.
 * @param measurement null takes the rates as they are stated
 */
export function clockInUse(
  { clock }: Pick<Shot, "clock">,
  stampsS: readonly number[] | null,
  measurement: RatesInUse | null,
): FrameClock | null {
  if (clock === null) return null;
  const made = frameClock(clock.kind === "capture-rate" ? atRates(clock, measurement) : clock, stampsS);
  return made.ok ? made.value : null;
}

type ByRate = Extract<Shot["clock"], { kind: "capture-rate" }>;

function atRates(clock: ByRate, measurement: RatesInUse | null) {
  const [first, ...parts] = measurement?.clockParts ?? [];
  if (first !== undefined) return { ...clock, captureRateHz: first.captureRateHz, parts };
  return { ...clock, captureRateHz: measurement?.captureRateHz ?? clock.captureRateHz };
}
