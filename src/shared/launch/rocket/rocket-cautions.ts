import { showMeasured } from "../../quantity/display.ts";
import type { Measured } from "../../quantity/measured.ts";
import { MOTOR_NOTICES } from "../../results/notices/launch-notices.ts";
import type { LaunchNotice } from "../cautions.ts";
import { type MotorLetter, motorClass } from "./motor-class.ts";
import type { RocketMotor } from "./rocket-inputs.ts";
import type { MeasuredMotor } from "./rocket-measured.ts";
import { totalImpulse } from "./thrust-curve.ts";

export interface RocketFacts {
  readonly motors: readonly MeasuredMotor[];
  readonly angleRad: Measured;
  /** kg, all-up; null when not known. */
  readonly massKg: Measured | null;
}

/* Limits of the code for model rockets. Source: NFPA 1122, 2018, 4.4 and 4.5. */
const MODEL_ROCKET_KG = 1.5;
const MODEL_ROCKET_PROPELLANT_KG = 0.125;
const MODEL_ROCKET_NS = 320;

/* Source: Model Rocket Safety Code of the National Association of Rocketry (USA), 2012: launch, distances. */
const FROM_VERTICAL_DEG = 30;
const NEAR: readonly MotorLetter[] = ["1/8A", "1/4A", "1/2A", "A", "B", "C", "D"];

/** Impulse of all motors installed, lit or not, N·s. Motors are independent. */
export function installedImpulse(motors: readonly MeasuredMotor[]): Measured {
  const each = motors.map(motorImpulse);
  return {
    value: each.reduce((sum, { value }) => sum + value, 0),
    u: Math.hypot(...each.map(({ u }) => u)),
  };
}

/** Impulse of one motor, N·s: that of its curve or its packet, times its thrust scale. */
export function motorImpulse({ thrust, thrustScale }: MeasuredMotor): Measured {
  const stated = thrust.by === "curve" ? { value: totalImpulse(thrust.points), u: 0 } : thrust.totalImpulseNs;
  return {
    value: stated.value * thrustScale.value,
    u: Math.hypot(stated.u * thrustScale.value, stated.value * thrustScale.u),
  };
}

/**
 * Cautions that belong to rocket motors under an airframe: their class, ignition, distances,
 * the tilted cradle, wings.
 */
export function rocketCautions({ motors, angleRad, massKg }: RocketFacts): readonly LaunchNotice[] {
  const impulse = installedImpulse(motors);
  const propellantKg = motors.reduce((sum, motor) => sum + motor.propellantKg.value, 0);
  return [
    ...classCautions(impulse, motors.length),
    ...limitCautions(impulse.value, propellantKg, massKg),
    MOTOR_NOTICES["rocket-ignition"](),
    distanceCaution(impulse.value),
    ...tiltCautions(angleRad.value),
    MOTOR_NOTICES["rocket-wings"](),
    ...(motors.length > 1 ? [MOTOR_NOTICES["rocket-several-motors"]()] : []),
  ];
}

function classCautions(impulse: Measured, count: number): readonly LaunchNotice[] {
  if (!(impulse.value > 0)) return [];
  const all = count === 1 ? "The motor holds" : `The ${count} motors together hold`;
  const found = motorClass(impulse.value);
  const above = motorClass(impulse.value + 2 * impulse.u);
  const letter =
    found === null
      ? "above the largest class, O"
      : `class ${found.letter} (up to ${found.upToNs} N·s)${above?.letter === found.letter ? "" : ", and within twice the uncertainty one above it"}`;
  return [MOTOR_NOTICES["rocket-class"](all, showMeasured(impulse, "N·s").text, letter)];
}

function limitCautions(
  impulseNs: number,
  propellantKg: number,
  massKg: Measured | null,
): readonly LaunchNotice[] {
  const over = [
    ...(impulseNs > MODEL_ROCKET_NS ? [`${MODEL_ROCKET_NS} N·s`] : []),
    ...(propellantKg > MODEL_ROCKET_PROPELLANT_KG
      ? [`${MODEL_ROCKET_PROPELLANT_KG * 1e3} g of propellant`]
      : []),
    ...(massKg !== null && massKg.value > MODEL_ROCKET_KG ? [`${MODEL_ROCKET_KG * 1e3} g all-up`] : []),
  ];
  return over.length === 0 ? [] : [MOTOR_NOTICES["rocket-over-limit"](over)];
}

/** m at which the code keeps people at least from a launch with these motors. */
export function peopleKeptM(motors: readonly Pick<RocketMotor, "curve" | "thrustScale">[]): number {
  const impulse = motors.reduce((sum, { curve, thrustScale }) => sum + thrustScale * totalImpulse(curve), 0);
  return isNear(impulse) ? 4.6 : 9.1;
}

function isNear(impulseNs: number): boolean {
  const letter = impulseNs > 0 ? motorClass(impulseNs)?.letter : undefined;
  return letter !== undefined && NEAR.includes(letter);
}

function distanceCaution(impulseNs: number): LaunchNotice {
  const near = isNear(impulseNs);
  return MOTOR_NOTICES["rocket-distance"](
    near ? "4.6 m (15 ft) away for motors up to class D" : "9.1 m (30 ft) away for motors above class D",
  );
}

function tiltCautions(angleRad: number): readonly LaunchNotice[] {
  const tiltDeg = 90 - (angleRad * 180) / Math.PI;
  return tiltDeg <= FROM_VERTICAL_DEG ? [] : [MOTOR_NOTICES["rocket-tilt"](tiltDeg, FROM_VERTICAL_DEG)];
}
