import { integrate, type OdeEvent } from "../numeric/integrate.ts";
import type { Rhs } from "../numeric/stepper.ts";
import { STANDARD_GRAVITY as G } from "../quantity/gravity.ts";
import { type FlightInputs, type FlightState, flyAfterRelease } from "./flight.ts";

/**
 * Lift over weight that a wing can give at an airspeed: n = (V/V_s)², 1. Above 1 it can
 * climb in a curve or bank.
 */
export function liftAvailable(airspeed: number, stall: number): number {
  if (!(airspeed >= 0 && stall > 0))
    throw new RangeError(`liftAvailable: got ${airspeed} at stall ${stall} m/s`);
  return (airspeed / stall) ** 2;
}

/** rad, steepest bank of a level turn at a load factor: acos(1/n); 0 where n is 1 or less. */
export function steepestBank(loadFactor: number): number {
  return loadFactor <= 1 ? 0 : Math.acos(1 / loadFactor);
}

/**
 * Load factor of a level turn: n = 1/cos φ. The stall speed grows with its root.
 * @throws RangeError at a bank of 90° or more
 */
export function bankLoadFactor(bankRad: number): number {
  if (!(Math.abs(bankRad) < Math.PI / 2))
    throw new RangeError(`bankLoadFactor: need a bank below 90°; got ${bankRad} rad`);
  return 1 / Math.cos(bankRad);
}

/**
 * m, height to give up without loss for the stall speed: (V_s² − V²)/(2g); 0 at or
 * above it. Drag makes it more.
 */
export function heightToStallSpeed(airspeed: number, stall: number): number {
  return Math.max(0, (stall ** 2 - airspeed ** 2) / (2 * G));
}

/**
 * Level release below the stall speed while gaining speed steadily: the lift is m g (V/V_s)² with V = V₀ + k
 * t, so that it sinks with g [1 − (V/V_s)²] until V = V_s: t = (V_s − V₀)/k, Δh = −g [t²/2 − (V₀² t²/2 + V₀ k
 * t³/3 + k² t⁴/12)/V_s²], sink = g [t − (V₀² t + V₀ k t² + k² t³/3)/V_s²]. The path's own slope is left out:
 * first order in sink over V.
 * @param gain k, m/s², speed gained in a second, > 0
 * @throws RangeError unless 0 <= V₀ <= V_s and k > 0
 */
export function sinkBelowStall(
  airspeed: number,
  stall: number,
  gain: number,
): { readonly timeS: number; readonly heightM: number; readonly sinkMPerS: number } {
  if (!(airspeed >= 0 && airspeed <= stall && gain > 0 && stall < Infinity)) {
    throw new RangeError(`sinkBelowStall: got ${airspeed} m/s, stall ${stall} m/s, gain ${gain} m/s²`);
  }
  const t = (stall - airspeed) / gain;
  const s2 = stall ** 2;
  const [a, b, c] = [airspeed ** 2, airspeed * gain, gain ** 2];
  return {
    timeS: t,
    heightM: -G * (t ** 2 / 2 - ((a * t ** 2) / 2 + (b * t ** 3) / 3 + (c * t ** 4) / 12) / s2),
    sinkMPerS: G * (t - (a * t + b * t ** 2 + (c * t ** 3) / 3) / s2),
  };
}

/** A point mass after release whose wing is held at what keeps its path straight, up to its greatest lift. */
export interface WingFlightInputs extends Omit<FlightInputs, "liftAreaM2"> {
  /** m², C_Lmax S; 0 for a body without a wing. */
  readonly greatestLiftAreaM2: number;
}

/**
 * `flyAfterRelease` with a lift of m g cos γ, γ the slope of the path through the air, while the wing can
 * give it; its greatest lift below that. No thrust; the drag area does not change with lift.
 * @returns one state a time  @throws RangeError as flyAfterRelease
 */
export function flyOnWing(inputs: WingFlightInputs, timesS: readonly number[]): readonly FlightState[] {
  const path = pathOf(inputs);
  let t = 0;
  let { y } = path;
  return timesS.map((timeS, i) => {
    if (!(timeS >= (i === 0 ? 0 : timesS[i - 1]) && timeS < Infinity)) {
      throw new RangeError(`flyOnWing: times must be >= 0 and increasing; got ${timeS} at ${i}`);
    }
    if (timeS > t) ({ t, y } = integrate(path, t, y, timeS));
    return { timeS, x: y[0], y: y[1], vx: y[2], vy: y[3] };
  });
}

// nothing that a launcher throws is up longer; what is, is a slip in height or drag area
const LONGEST_S = 120;

/**
 * Highest place of the path of a body without lift: m above release and s after it. For a
 * launch near the vertical.
 * @returns null when it climbs for over two minutes
 * @throws RangeError on an impossible input
 */
export function highestPlace(
  inputs: Omit<WingFlightInputs, "greatestLiftAreaM2">,
): { readonly heightM: number; readonly timeS: number } | null {
  const path = pathOf({ ...inputs, greatestLiftAreaM2: 0 });
  if (path.y[3] <= 0) return { heightM: 0, timeS: 0 };
  const level: OdeEvent = { name: "level", direction: -1, value: (_t, y) => y[3] };
  const run = integrate({ ...path, events: [level] }, 0, path.y, LONGEST_S);
  return run.event === null ? null : { heightM: run.y[1], timeS: run.t };
}

function pathOf(inputs: WingFlightInputs) {
  flyAfterRelease({ ...inputs, liftAreaM2: inputs.greatestLiftAreaM2 }, []); // checks the inputs
  const { massKg, speedMPerS, angleRad, airDensity, headwindMPerS } = inputs;
  const drag = (airDensity * inputs.dragAreaM2) / (2 * massKg);
  const lift = (airDensity * inputs.greatestLiftAreaM2) / (2 * massKg);
  const rhs: Rhs = (_t, y, out) => {
    const wx = y[2] + headwindMPerS;
    const wy = y[3];
    const w = Math.hypot(wx, wy);
    // Lift over m w: wanted is g cos γ = g |wx|/w across the path, the wing gives lift w² at most.
    const given = w === 0 ? 0 : Math.min((G * Math.abs(wx)) / w ** 2, lift * w);
    const side = wx < 0 ? -1 : 1; // up, whichever way the air comes
    out[0] = y[2];
    out[1] = y[3];
    out[2] = -drag * w * wx - side * given * wy;
    out[3] = -drag * w * wy + side * given * wx - G;
  };
  const scale = Math.max(1, speedMPerS);
  return {
    rhs,
    relTol: 1e-10,
    absTol: [1e-11 * scale, 1e-11 * scale, 1e-11 * scale, 1e-11 * scale],
    y: Float64Array.from([
      0,
      0,
      speedMPerS * Math.cos(angleRad),
      speedMPerS * Math.sin(angleRad),
    ]) as Float64Array,
  };
}
