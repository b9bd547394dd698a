import { integrate } from "../numeric/integrate.ts";
import type { Rhs } from "../numeric/stepper.ts";
import { STANDARD_GRAVITY } from "../quantity/gravity.ts";

/** A point mass after release, with constant drag and lift areas (coefficient times reference area). */
export interface FlightInputs {
  readonly massKg: number;
  readonly speedMPerS: number;
  /** rad, direction of the velocity at release above the horizontal. */
  readonly angleRad: number;
  readonly airDensity: number;
  /** m/s, horizontal, against the direction of launch. */
  readonly headwindMPerS: number;
  /** m², C_d A. */
  readonly dragAreaM2: number;
  /** m², C_L S; 0 for none. Positive lifts. */
  readonly liftAreaM2: number;
}

/** Place from the point of release (x forward, y up) and velocity over the ground. */
export interface FlightState {
  readonly timeS: number;
  readonly x: number;
  readonly y: number;
  readonly vx: number;
  readonly vy: number;
}

/**
 * Flight as a point mass: m v̇ = m g − ½ρ C_dA |w| w + ½ρ C_LS |w| w⊥, where w is the velocity relative to
 * the air and w⊥ is w turned a quarter turn nose-up. The attitude does not enter: the areas are constants.
 * @param timesS s from release, >= 0, increasing
 * @returns one state a time
 * @throws RangeError on an impossible input or times out of order
 */
export function flyAfterRelease(inputs: FlightInputs, timesS: readonly number[]): readonly FlightState[] {
  check(inputs, timesS);
  const { speedMPerS, angleRad } = inputs;
  const rhs = flightRhs(inputs);
  const speed = Math.max(1, speedMPerS);
  const absTol = [1e-12, 1e-12, 1e-12 * speed, 1e-12 * speed];
  let t = 0;
  let y: Float64Array = Float64Array.from([
    0,
    0,
    speedMPerS * Math.cos(angleRad),
    speedMPerS * Math.sin(angleRad),
  ]);
  return timesS.map((timeS) => {
    if (timeS > t) ({ t, y } = integrate({ rhs, relTol: 1e-11, absTol }, t, y, timeS));
    return { timeS, x: y[0], y: y[1], vx: y[2], vy: y[3] };
  });
}

function flightRhs(inputs: FlightInputs): Rhs {
  const drag = (inputs.airDensity * inputs.dragAreaM2) / (2 * inputs.massKg);
  const lift = (inputs.airDensity * inputs.liftAreaM2) / (2 * inputs.massKg);
  return (_t, y, out) => {
    const wx = y[2] + inputs.headwindMPerS;
    const wy = y[3];
    const w = Math.hypot(wx, wy);
    out[0] = y[2];
    out[1] = y[3];
    out[2] = w * (-drag * wx - lift * wy);
    out[3] = w * (-drag * wy + lift * wx) - STANDARD_GRAVITY;
  };
}

function check(inputs: FlightInputs, timesS: readonly number[]): void {
  for (const [name, x] of Object.entries(inputs)) {
    if (!Number.isFinite(x)) throw new RangeError(`flyAfterRelease: ${name} must be finite; got ${x}`);
  }
  for (const name of ["massKg", "airDensity"] as const) {
    if (!(inputs[name] > 0))
      throw new RangeError(`flyAfterRelease: ${name} must be > 0; got ${inputs[name]}`);
  }
  for (const name of ["speedMPerS", "dragAreaM2"] as const) {
    if (!(inputs[name] >= 0))
      throw new RangeError(`flyAfterRelease: ${name} must be >= 0; got ${inputs[name]}`);
  }
  timesS.forEach((t, i) => {
    if (!(t >= (i === 0 ? 0 : timesS[i - 1]) && t < Infinity)) {
      throw new RangeError(`flyAfterRelease: times must be >= 0 and increasing; got ${t} at ${i}`);
    }
  });
}
