import type { Measured, Unit } from "../quantity/measured.ts";
import type { ShotNotice } from "../results/notices/shot-notices.ts";
import type { NextShot } from "../session/schema.ts";
import type { InsideSpeed, LimitEnd } from "./limit-ends.ts";
import type { LimitCheck } from "./limits.ts";
import type { MotorChoice } from "./motor-choice.ts";
import type { NextNotice } from "./next-notices.ts";
import type { RepeatGroup, Scatter } from "./repeats.ts";
import type { SpeedPoint } from "./speed-curve.ts";
import type { SpeedInterval } from "./speed-interval.ts";

/** The setting that gives the wanted speed. */
export interface NextShotAnswer {
  /** u: how far the setting could be from the right one, because the model is not known better. */
  readonly setting: Measured;
  /** Other settings that give the same speed. */
  readonly others: readonly number[];
  /** (m/s)/unit of the setting. */
  readonly slope: number;
  /** m/s, predicted there with all inputs' uncertainty, the setting's own included. */
  readonly speed: Measured;
  readonly interval: SpeedInterval;
  /** Probability that the next shot is as wanted; null when no tolerance was given. */
  readonly chanceAsWanted: number | null;
  readonly insideLimits: boolean;
}

/**
 * Release speed over the setting, for the chart. Bands are k standard uncertainties of
 * the model's inputs wide.
 */
export interface SpeedBand {
  readonly x: number;
  readonly speed: number;
  readonly u: number;
}

/** All that can be said of the next shot. */
export interface NextShotReport {
  /** The shot whose air, wind and other settings are taken. */
  readonly shotId: string;
  readonly ask: NextShot;
  /** The input that is changed; null when there is none to change. */
  readonly setting: {
    readonly field: string;
    readonly symbol: string;
    readonly unit: Unit;
    readonly now: number | null;
    readonly low: number;
    readonly high: number;
  } | null;
  /** null when no speed is wanted or none can be had: the refusal then says why. */
  readonly answer: NextShotAnswer | null;
  /** At the answer; where there is none, at the setting as it is now; empty when neither is there. */
  readonly limits: readonly LimitCheck[];
  /** Slowest and fastest with all limits kept; null when none is. */
  readonly inside: { readonly slowest: InsideSpeed; readonly fastest: InsideSpeed } | null;
  /** No value of the setting is recommended on this launcher, whatever the speed: a notice says why. */
  readonly withheld: boolean;
  /** Slowest and fastest the launcher reaches at all. */
  readonly reach: { readonly slowest: SpeedPoint; readonly fastest: SpeedPoint } | null;
  readonly scatter: Scatter | null;
  readonly groups: readonly RepeatGroup[];
  readonly curve: readonly (readonly SpeedBand[])[];
  /** Least release speed for the stall margin asked for; empty without one. */
  readonly stall: readonly SpeedPoint[];
  readonly ends: readonly LimitEnd[];
  /** For a launcher with several kinds of motor: each of them in every mount. */
  readonly motors: readonly MotorChoice[];
  /** What the model cautions of at the answer, but for what the limits say. */
  readonly cautions: readonly ShotNotice[];
  /** Why there is no answer, or why it is not to be used. */
  readonly notices: readonly NextNotice[];
}

/**
 * Whether what was asked for cannot be had: nothing to set, no launch at any setting, or no answer inside all
 * limits.
 */
export function isRefused({ ask, setting, reach, answer, withheld }: NextShotReport): boolean {
  if (setting === null || reach === null) return true;
  if (withheld) return ask.speedMPerS !== null;
  return ask.speedMPerS !== null && answer?.insideLimits !== true;
}
