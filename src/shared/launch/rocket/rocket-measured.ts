import type { Measured } from "../../quantity/measured.ts";
import { ok, type Result, refuse } from "../../quantity/result.ts";
import { aboveZero, type UncertainInput, zeroOrMore } from "../../uncertainty/propagate.ts";
import { airDensity } from "../air.ts";
import type { RocketInputs, RocketMotor } from "./rocket-inputs.ts";
import { type ThrustCurve, trapezoidCurve } from "./thrust-curve.ts";

/** A motor as a person measured it or its packet states it. */
export interface MeasuredMotor {
  readonly name: string;
  readonly thrust:
    | { readonly by: "curve"; readonly points: ThrustCurve }
    | {
        readonly by: "trapezoid";
        readonly totalImpulseNs: Measured;
        readonly meanThrustN: Measured;
        readonly riseS: Measured;
        readonly fallS: Measured;
      };
  readonly thrustScale: Measured;
  readonly propellantKg: Measured;
  readonly aheadM: Measured;
  readonly aboveM: Measured;
  readonly rightM: Measured;
  readonly tiltUpRad: Measured;
  readonly tiltRightRad: Measured;
  readonly delayS: Measured;
  readonly lit: boolean;
  readonly ejectionS: Measured | null;
}

/**
 * Airframe, cradle, motors and air as a person measured them: RocketInputs with a standard
 * uncertainty on each number.
 */
export interface MeasuredRocket {
  readonly massKg: Measured;
  readonly angleRad: Measured;
  readonly railM: Measured;
  readonly slidingN: Measured;
  readonly boosterKg: Measured;
  readonly dragAreaM2: Measured;
  readonly airPressurePa: Measured;
  readonly temperatureK: Measured;
  readonly headwindMPerS: Measured;
  readonly pitchInertiaKgM2: Measured | null;
  readonly yawInertiaKgM2: Measured | null;
  readonly turnsOnCradle: boolean;
  readonly motors: readonly MeasuredMotor[];
}

type Limit = "above-zero" | "from-zero" | "quarter-turn" | "any";

const AIRFRAME = [
  ["massKg", "above-zero"],
  ["angleRad", "quarter-turn"],
  ["railM", "above-zero"],
  ["slidingN", "from-zero"],
  ["boosterKg", "from-zero"],
  ["dragAreaM2", "from-zero"],
  ["airPressurePa", "above-zero"],
  ["temperatureK", "above-zero"],
  ["headwindMPerS", "any"],
  ["pitchInertiaKgM2", "above-zero"],
  ["yawInertiaKgM2", "above-zero"],
] as const satisfies readonly (readonly [keyof MeasuredRocket, Limit])[];

const MOTOR = [
  ["thrustScale", "above-zero"],
  ["propellantKg", "above-zero"],
  ["aheadM", "any"],
  ["aboveM", "any"],
  ["rightM", "any"],
  ["tiltUpRad", "quarter-turn"],
  ["tiltRightRad", "quarter-turn"],
  ["delayS", "from-zero"],
  ["ejectionS", "above-zero"],
] as const satisfies readonly (readonly [keyof MeasuredMotor, Limit])[];

const TRAPEZOID = [
  ["totalImpulseNs", "above-zero"],
  ["meanThrustN", "above-zero"],
  ["riseS", "from-zero"],
  ["fallS", "from-zero"],
] as const;

type AirframeKey = (typeof AIRFRAME)[number][0];
type MotorKey = (typeof MOTOR)[number][0];
type TrapezoidKey = (typeof TRAPEZOID)[number][0];

/**
 * The numbers as a list for propagation, with the limits within which the model may be asked; order as in
 * `rocketInputsOf`. Names are the session's paths within launcher, airframe or conditions, e.g.
 * "motors.0.thrust.riseS"; the airframe's mass is "airframeMassKg". Motors are independent of each other: the
 * u of a motor's thrust scale is the spread from one to the next.
 */
export function rocketUncertainInputs(rocket: MeasuredRocket): readonly UncertainInput[] {
  return [
    ...AIRFRAME.flatMap(([key, limit]) =>
      listed(key === "massKg" ? "airframeMassKg" : key, rocket[key], limit),
    ),
    ...rocket.motors.flatMap((motor, i) => {
      const { thrust } = motor;
      return [
        ...MOTOR.flatMap(([key, limit]) => listed(`motors.${i}.${key}`, motor[key], limit)),
        ...(thrust.by === "trapezoid"
          ? TRAPEZOID.flatMap(([key, limit]) => listed(`motors.${i}.thrust.${key}`, thrust[key], limit))
          : []),
      ];
    }),
  ];
}

/**
 * RocketInputs from the values of `rocketUncertainInputs`, in its order.
 * @returns the inputs; or "rise-and-fall-too-long" with the motor's place in the list ({
 *   motor, burnS, riseAndFallS })
 */
export function rocketInputsOf(
  rocket: MeasuredRocket,
  values: readonly number[],
): Result<RocketInputs, "rise-and-fall-too-long"> {
  const left = values.values();
  const take = (measured: Measured | null) => (measured === null ? null : left.next().value);
  const plain = Object.fromEntries(AIRFRAME.map(([key]) => [key, take(rocket[key])])) as Taken<
    AirframeKey,
    "pitchInertiaKgM2" | "yawInertiaKgM2"
  >;
  const motors: RocketMotor[] = [];
  for (const [i, { name, lit, thrust, ...measured }] of rocket.motors.entries()) {
    const numbers = Object.fromEntries(MOTOR.map(([key]) => [key, take(measured[key])])) as Taken<
      MotorKey,
      "ejectionS"
    >;
    const curve =
      thrust.by === "curve"
        ? ok(thrust.points)
        : trapezoidCurve(
            Object.fromEntries(TRAPEZOID.map(([key]) => [key, take(thrust[key])])) as Taken<
              TrapezoidKey,
              never
            >,
          );
    if (!curve.ok) return refuse(curve.code, { motor: i, ...curve.numbers });
    motors.push({ name, lit, curve: curve.value, ...numbers });
  }
  const { airPressurePa, temperatureK, ...airframe } = plain;
  return ok({
    ...airframe,
    airDensity: airDensity(airPressurePa, temperatureK),
    turnsOnCradle: rocket.turnsOnCradle,
    motors,
  });
}

/** Numbers by key, null allowed where the measured one may be. */
type Taken<Key extends string, Optional extends Key> = Readonly<
  Record<Exclude<Key, Optional>, number> & Record<Optional, number | null>
>;

function listed(name: string, measured: Measured | null, limit: Limit): UncertainInput[] {
  if (measured === null) return [];
  switch (limit) {
    case "above-zero":
      return [aboveZero(name, measured)];
    case "from-zero":
      return [zeroOrMore(name, measured)];
    case "quarter-turn":
      return [{ name, ...measured, low: -Math.PI / 2, high: Math.PI / 2 }];
    case "any":
      return [{ name, ...measured }];
  }
}
