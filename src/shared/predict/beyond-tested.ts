import { showExact } from "../quantity/display.ts";
import type { Quantity, Unit } from "../quantity/measured.ts";
import { TUNED_NOTICES } from "../results/notices/model-notices.ts";
import type { ShotPrediction } from "../results/shot-result.ts";
import type { LaunchInputs } from "../session/launch-inputs.ts";
import { type SettingName, settingValues, type TestedRange } from "../session/tested-range.ts";

/**
 * Relative error of the release speed for each factor e beyond the settings that the launcher was tuned at: a
 * form of the model that is not quite the launcher's is made up for by the tuned values there and not
 * elsewhere. Common practice, no source.
 */
const SPEED_ERROR = 0.03;
const AS_NEAR = 0.02; // a setting is hardly read or kept closer

/** By which power of the release speed a predicted quantity goes. */
const POWERS: Readonly<Record<string, number>> = {
  releaseSpeed: 1,
  peakAcceleration: 2,
  meanPushAcceleration: 2,
  pitchRateAtRelease: 1,
  loadFactor: 2,
  boostLoadFactor: 2,
  burnoutSpeed: 1,
  peakBaseReaction: 2,
  endStopEnergy: 2,
  endStopMeanForce: 2,
  endStopPeakForce: 2,
  pushTime: 1,
  stallMargin: 1,
  apogee: 2,
  range: 2,
  windDrift: 1,
  sideDrift: 1,
  timeToGround: 1,
  impactSpeed: 1,
};
const UNITS: Readonly<Record<SettingName, Unit>> = {
  pressure: "Pa",
  mass: "kg",
  stroke: "m",
  draw: "m",
};

/**
 * A prediction by tuned values, less sure the farther it lies beyond the shots they come from, with a notice
 * that says how far beyond; unchanged between those shots.
 */
export function widenedBeyond(push: ShotPrediction, launch: LaunchInputs): ShotPrediction {
  const { prediction } = push;
  const settings = settingValues(launch.launcher, launch.airframe, launch.conditions);
  const beyond = launch.tested.flatMap((range) => beyondOf(range, settings[range.of] ?? null));
  if (prediction === null || beyond.length === 0) return push;
  const relative = SPEED_ERROR * Math.hypot(...beyond.map(({ factors }) => factors));
  const says = beyond.map(({ of, low, high, value }) => {
    const shown = (x: number) => showExact(x, UNITS[of], launch.units, 3);
    const tested = low === high ? shown(low) : `${shown(low)} to ${shown(high)}`;
    const edge = value > high ? high : low;
    const percent = Math.round(100 * Math.abs(value / edge - 1));
    return `${of} ${shown(value)}, ${percent} % ${value > high ? "above" : "below"} the ${tested}`;
  });
  return {
    ...push,
    prediction: widenedBy(prediction, relative),
    notices: [TUNED_NOTICES["beyond-tested"](says.join("; "), 100 * relative), ...push.notices],
  };
}

/** A prediction whose release speed is less sure by so much of itself, and all else by what hangs on it. */
export function widenedBy<P extends { readonly quantities: Readonly<Record<string, Quantity>> }>(
  prediction: P,
  relative: number,
): P {
  const widened = ([name, one]: readonly [string, Quantity]) => {
    const more = (POWERS[name] ?? 0) * relative * Math.abs(one.value);
    return [name, more === 0 ? one : { ...one, u: Math.hypot(one.u, more) }];
  };
  return {
    ...prediction,
    quantities: Object.fromEntries(Object.entries(prediction.quantities).map(widened)),
  };
}

function beyondOf(range: TestedRange, value: number | null) {
  if (value === null || !(value > 0 && range.low > 0)) return [];
  const factors = Math.max(Math.log(value / range.high), Math.log(range.low / value));
  return factors > AS_NEAR ? [{ ...range, value, factors }] : [];
}
