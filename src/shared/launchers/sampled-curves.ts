import type { PredictionCurves } from "../results/shot-result.ts";

// linear interpolation between samples then errs by micrometres at 300 m/s², by tens of them in
// a boost of half a second
const STEPS = 400;

/** Where a launch model has the launch at one instant. */
interface LaunchState {
  readonly positionM: number;
  readonly speedMPerS: number;
  readonly accelerationMPerS2: number;
}

/** A launch model's states at even times from its time 0 to release, m and s. */
export function sampledStates<State extends LaunchState>(
  at: (timeS: number) => State,
  releaseS: number,
): readonly State[] {
  return Array.from({ length: STEPS + 1 }, (_, i) => at((releaseS * i) / STEPS));
}

/** What every launch model tells of a push; the pitch besides where it has one. */
export const CURVES_OF_PUSH = ["timeS", "position", "speed", "acceleration"] as const;

/**
 * Sampled states as curves on the clock with 0 at release; positions no further than the travel to it,
 * which rounding may pass.
 */
export function sampledCurves(
  states: readonly LaunchState[],
  releaseS: number,
  travelM: number,
): PredictionCurves {
  return {
    timeS: states.map((_, i) => (releaseS * i) / STEPS - releaseS),
    position: states.map(({ positionM }) => Math.min(positionM, travelM)),
    speed: states.map(({ speedMPerS }) => speedMPerS),
    acceleration: states.map(({ accelerationMPerS2 }) => accelerationMPerS2),
  };
}
