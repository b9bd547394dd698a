import type { PartMove } from "../clock/clock-parts.ts";
import type { FrameClock } from "../clock/frame-clock.ts";
import type { Measured } from "../quantity/measured.ts";
import type { ClockCheck } from "./clock-check.ts";
import type { PartInUse } from "./clock-of-parts.ts";

/** How frames and rows of one clip become seconds. */
export interface ShotTiming {
  readonly clock: FrameClock;
  /** The place of a mark along the rows as they are read, px, for clock.timeOf. */
  rowOf(x: number, y: number): number;
  /** Of a clip with parts: the clock with its rates and borders moved. */
  movedBy?(moves: readonly PartMove[]): FrameClock;
}

/** The clock of a shot, and what its rate rests on. */
export interface ShotClock extends ShotTiming {
  /** Hz, the rate in use; null for timestamps and for a clip with parts. */
  readonly captureRateHz: Measured | null;
  /** The clip's parts, the first from frame 0, each with its rate in use; none where there is one rate. */
  readonly parts: readonly PartInUse[];
  /** Checks found in the clips of the same camera, whether in use or not. */
  readonly checks: readonly ClockCheck[];
  /**
   * What one standard uncertainty of each named error does to the rate in use, over the rate: where it
   * rests on checks, a rod under a drop moves rate and lengths together.
   */
  readonly rateErrors: ReadonlyMap<string, number>;
}
