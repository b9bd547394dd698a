import type { Unit } from "../quantity/measured.ts";
import type { QuantityName } from "./shot-result.ts";

/** What a result is called on paper, and the SI unit it is kept in. */
export interface QuantityWords {
  readonly words: string;
  readonly unit: Unit;
}

/** Every result by name, in the order a report lists them. */
export const QUANTITIES: Readonly<Record<QuantityName, QuantityWords>> = {
  releaseSpeed: { words: "Release speed", unit: "m/s" },
  peakAcceleration: { words: "Peak acceleration", unit: "m/s²" },
  pitchRateAtRelease: { words: "Pitch rate at release", unit: "rad/s" },
  launchAngle: { words: "Launch angle", unit: "rad" },
  pitchAtRelease: { words: "Pitch at release", unit: "rad" },
  meanPushAcceleration: { words: "Mean acceleration of the push", unit: "m/s²" },
  pushTime: { words: "Push time", unit: "s" },
  stroke: { words: "Travel to release", unit: "m" },
  releaseTime: { words: "Time of release", unit: "s" },
  stallSpeed: { words: "Stall speed", unit: "m/s" },
  stallMargin: { words: "Stall margin", unit: "1" },
  loadFactor: { words: "Load factor", unit: "1" },
};

export const QUANTITY_NAMES = Object.keys(QUANTITIES) as readonly QuantityName[];
