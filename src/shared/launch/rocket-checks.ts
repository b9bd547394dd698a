import type { RocketInputs, RocketMotor } from "./rocket-inputs.ts";
import { totalImpulse } from "./thrust-curve.ts";

/** An input the rocket boost model cannot take: its name as in RocketInputs, what a person calls it, the value, and what would do. */
export interface RocketInputProblem {
  readonly field: string;
  readonly words: string;
  readonly value: number;
  readonly need: string;
}

type Rule = readonly [need: string, holds: (x: number) => boolean];

const ABOVE: Rule = ["above 0", (x) => x > 0];
const FROM_ZERO: Rule = ["0 or more", (x) => x >= 0];
const ANY: Rule = ["a finite number", () => true];
const UNDER_A_QUARTER_TURN: Rule = ["between −90° and 90°", (x) => Math.abs(x) < Math.PI / 2];
const AT_MOST_A_QUARTER_TURN: Rule = ["from −90° to 90°", (x) => Math.abs(x) <= Math.PI / 2];

const AIRFRAME: readonly (readonly [keyof RocketInputs, string, Rule])[] = [
  ["massKg", "the all-up mass, kg", ABOVE],
  ["angleRad", "the angle of the cradle, rad", AT_MOST_A_QUARTER_TURN],
  ["railM", "the travel along the cradle, m", ABOVE],
  ["slidingN", "the friction along the cradle, N", FROM_ZERO],
  ["boosterKg", "the mass of the booster, kg", FROM_ZERO],
  ["dragAreaM2", "the drag area, m²", FROM_ZERO],
  ["airDensity", "the density of the air, kg/m³", ABOVE],
  ["headwindMPerS", "the headwind, m/s", ANY],
  ["pitchInertiaKgM2", "the pitch inertia, kg m²", ABOVE],
  ["yawInertiaKgM2", "the yaw inertia, kg m²", ABOVE],
];

const MOTOR: readonly (readonly [keyof RocketMotor, string, Rule])[] = [
  ["thrustScale", "thrust over the curve", ABOVE],
  ["propellantKg", "propellant, kg", ABOVE],
  ["aheadM", "nozzle ahead of the centre of gravity, m", ANY],
  ["aboveM", "nozzle above the centre of gravity, m", ANY],
  ["rightM", "nozzle right of the centre of gravity, m", ANY],
  ["tiltUpRad", "thrust turned up, rad", UNDER_A_QUARTER_TURN],
  ["tiltRightRad", "thrust turned right, rad", UNDER_A_QUARTER_TURN],
  ["delayS", "ignition delay, s", FROM_ZERO],
  ["ejectionS", "time to the ejection charge, s", ABOVE],
];

/** The first impossible input, or null when the rocket boost model can run. */
export function rocketInputProblem(inputs: RocketInputs): RocketInputProblem | null {
  for (const [field, words, rule] of AIRFRAME) {
    const found = breach(field, words, inputs[field], rule);
    if (found) return found;
  }
  if (inputs.motors.length === 0) {
    return { field: "motors", words: "the number of motors", value: 0, need: "1 or more" };
  }
  for (const [i, motor] of inputs.motors.entries()) {
    for (const [field, words, rule] of MOTOR) {
      const found = breach(`motors[${i}].${field}`, `motor “${motor.name}”: ${words}`, motor[field], rule);
      if (found) return found;
    }
    const curveProblem = curveBreach(motor, i);
    if (curveProblem) return curveProblem;
  }
  const apart = inputs.motors.reduce((sum, motor) => sum + motor.propellantKg, inputs.boosterKg);
  if (!(inputs.massKg > apart)) {
    return {
      field: "massKg",
      words: "the all-up mass, kg",
      value: inputs.massKg,
      need: `above the ${Number(apart.toPrecision(4))} kg of booster and propellant in it`,
    };
  }
  return null;
}

/** null stands for "not given" where the types allow it. */
function breach(
  field: string,
  words: string,
  value: unknown,
  [need, holds]: Rule,
): RocketInputProblem | null {
  if (value === null || (typeof value === "number" && Number.isFinite(value) && holds(value))) return null;
  return { field, words, value: Number(value), need };
}

function curveBreach({ name, curve }: RocketMotor, i: number): RocketInputProblem | null {
  const field = `motors[${i}].curve`;
  const bad = curve.findIndex(([t, f], k) => !(t >= (curve[k - 1]?.[0] ?? 0) && f >= 0 && t + f < Infinity));
  if (bad >= 0) {
    return {
      field,
      words: `motor “${name}”: thrust curve, time of point ${bad + 1}`,
      value: curve[bad]![0],
      need: "not before the point ahead of it, with a thrust of 0 or more",
    };
  }
  const impulse = totalImpulse(curve);
  return impulse > 0
    ? null
    : { field, words: `motor “${name}”: total impulse, N·s`, value: impulse, need: "above 0" };
}
