import type { Measured } from "../quantity/measured.ts";

/** One error of a rate that a check found, by the name under which other rates and inputs share it. */
export interface RateError {
  readonly key: string;
  /** What one standard uncertainty of it does to the rate, over the rate. */
  readonly relative: number;
}

/** A capture rate found in a clip, by a dropped object or a blinking lamp. */
export interface ClockCheck {
  readonly kind: "drop" | "lamp";
  readonly shotId: string;
  readonly captureRateHz: Measured;
  /** Hz, what its clip's clock states for its frames, where that has parts; null otherwise. */
  readonly statedHz: number | null;
  /** Independent of each other; their root sum of squares is u of the rate. */
  readonly errors: readonly RateError[];
}
