import type { InputProblem } from "../input-problem.ts";
import type { RocketInputs, RocketMotor } from "./rocket-inputs.ts";
import { totalImpulse } from "./thrust-curve.ts";

type Rule = readonly [need: string, holds: (x: number) => boolean];

const ABOVE: Rule = ["above 0", (x) => x > 0];
const FROM_ZERO: Rule = ["0 or more", (x) => x >= 0];
const ANY: Rule = ["a finite number", () => true];
const UNDER_A_QUARTER_TURN: Rule = ["between −90° and 90°", (x) => Math.abs(x) < Math.PI / 2];
const AT_MOST_A_QUARTER_TURN: Rule = ["from −90° to 90°", (x) => Math.abs(x) <= Math.PI / 2];

const AIRFRAME = [
  ["massKg", ABOVE],
  ["angleRad", AT_MOST_A_QUARTER_TURN],
  ["railM", ABOVE],
  ["slidingN", FROM_ZERO],
  ["boosterKg", FROM_ZERO],
  ["dragAreaM2", FROM_ZERO],
  ["airDensity", ABOVE],
  ["headwindMPerS", ANY],
  ["pitchInertiaKgM2", ABOVE],
  ["yawInertiaKgM2", ABOVE],
] as const satisfies readonly (readonly [keyof RocketInputs, Rule])[];

const MOTOR = [
  ["thrustScale", ABOVE],
  ["propellantKg", ABOVE],
  ["aheadM", ANY],
  ["aboveM", ANY],
  ["rightM", ANY],
  ["tiltUpRad", UNDER_A_QUARTER_TURN],
  ["tiltRightRad", UNDER_A_QUARTER_TURN],
  ["delayS", FROM_ZERO],
  ["ejectionS", ABOVE],
] as const satisfies readonly (readonly [keyof RocketMotor, Rule])[];

/** The first impossible input, or null when the rocket boost model can run. */
export function rocketInputProblem(inputs: RocketInputs): InputProblem | null {
  for (const [field, rule] of AIRFRAME) {
    const found = breach(field === "massKg" ? "airframeMassKg" : field, inputs[field], rule);
    if (found) return found;
  }
  if (inputs.motors.length === 0) {
    return { field: "motors", value: 0, need: "1 or more" };
  }
  for (const [i, motor] of inputs.motors.entries()) {
    for (const [field, rule] of MOTOR) {
      const found = breach(`motors.${i}.${field}`, motor[field], rule);
      if (found) return found;
    }
    const curveProblem = curveBreach(motor, i);
    if (curveProblem) return curveProblem;
  }
  const apart = inputs.motors.reduce((sum, motor) => sum + motor.propellantKg, inputs.boosterKg);
  if (!(inputs.massKg > apart)) {
    return {
      field: "airframeMassKg",
      value: inputs.massKg,
      need: `above the ${Number(apart.toPrecision(4))} kg of booster and propellant in it`,
    };
  }
  return null;
}

/** null stands for "not given" where the types allow it. */
function breach(field: string, value: unknown, [need, holds]: Rule): InputProblem | null {
  if (value === null || (typeof value === "number" && Number.isFinite(value) && holds(value))) return null;
  return { field, value: Number(value), need };
}

function curveBreach({ curve }: RocketMotor, i: number): InputProblem | null {
  const bad = curve.findIndex(([t, f], k) => !(t >= (curve[k - 1]?.[0] ?? 0) && f >= 0 && t + f < Infinity));
  if (bad >= 0) {
    return {
      field: `motors.${i}.thrust.points.${bad}.0`,
      value: curve[bad][0],
      need: "not before the point ahead of it, with a thrust of 0 or more",
    };
  }
  const impulse = totalImpulse(curve);
  return impulse > 0 ? null : { field: `motors.${i}.thrust.totalImpulseNs`, value: impulse, need: "above 0" };
}
