import { STANDARD_GRAVITY } from "../quantity/gravity.ts";
import type { Measured } from "../quantity/measured.ts";
import { integrate } from "./integrate.ts";
import { propagate, type UncertainInput } from "./propagate.ts";
import type { Rhs } from "./stepper.ts";

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
export interface FlightState<T = number> {
  readonly timeS: number;
  readonly x: T;
  readonly y: T;
  readonly vx: T;
  readonly vy: T;
}

/**
 * Flight as a point mass: m v̇ = m g − ½ρ C_dA |w| w + ½ρ C_LS |w| w⊥, where w is the velocity relative to the air
 * and w⊥ is w turned a quarter turn nose-up. The attitude does not enter: the areas are constants.
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
    return { timeS, x: y[0]!, y: y[1]!, vx: y[2]!, vy: y[3]! };
  });
}

/** `flyAfterRelease` with the standard uncertainty of every number, the inputs being independent. */
export function measuredFlight(
  inputs: Readonly<Record<keyof FlightInputs, Measured>>,
  timesS: readonly number[],
): readonly FlightState<Measured>[] {
  const names = [
    "massKg",
    "speedMPerS",
    "angleRad",
    "airDensity",
    "headwindMPerS",
    "dragAreaM2",
    "liftAreaM2",
  ] as const;
  const list = names.map(
    (name): UncertainInput => ({ name, ...inputs[name], ...limitsOf(name, inputs[name]) }),
  );
  const result = propagate((values) => {
    const at = Object.fromEntries(names.map((name, i) => [name, values[i]!])) as unknown as FlightInputs;
    return flyAfterRelease(at, timesS).flatMap(({ x, y, vx, vy }) => [x, y, vx, vy]);
  }, list);
  if (!result.ok) throw new Error(`measuredFlight: ${result.code}`); // flight refuses nothing
  const { values, u } = result.value;
  const pick = (i: number): Measured => ({ value: values[i]!, u: u[i]! });
  return timesS.map((timeS, i) => ({
    timeS,
    x: pick(4 * i),
    y: pick(4 * i + 1),
    vx: pick(4 * i + 2),
    vy: pick(4 * i + 3),
  }));
}

function limitsOf(name: keyof FlightInputs, { value }: Measured): { readonly low?: number } {
  if (name === "massKg" || name === "airDensity") return { low: value / 100 };
  return name === "speedMPerS" || name === "dragAreaM2" ? { low: 0 } : {};
}

function flightRhs(inputs: FlightInputs): Rhs {
  const drag = (inputs.airDensity * inputs.dragAreaM2) / (2 * inputs.massKg);
  const lift = (inputs.airDensity * inputs.liftAreaM2) / (2 * inputs.massKg);
  return (_t, y, out) => {
    const wx = y[2]! + inputs.headwindMPerS;
    const wy = y[3]!;
    const w = Math.hypot(wx, wy);
    out[0] = y[2]!;
    out[1] = y[3]!;
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
    if (!(t >= (i === 0 ? 0 : timesS[i - 1]!) && t < Infinity)) {
      throw new RangeError(`flyAfterRelease: times must be >= 0 and increasing; got ${t} at ${i}`);
    }
  });
}
