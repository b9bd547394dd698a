import { showMeasured } from "../quantity/display.ts";
import type { Measured } from "../quantity/measured.ts";
import type { Notice } from "../quantity/notice.ts";
import { type MotorLetter, motorClass } from "./motor-class.ts";
import type { MeasuredMotor } from "./rocket-measured.ts";
import { totalImpulse } from "./thrust-curve.ts";

/** Who decides: every caution about rocket motors ends with this. Loftmark states facts and never says that something may be done. */
export const ROCKET_DEFERENCE =
  "The motor maker's ratings and instructions, local codes, the club's range rules and licensed practice decide.";

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

/* Source: Model Rocket Safety Code of the National Association of Rocketry (USA), 2012: ignition, misfires, launch, distances. */
const MISFIRE_WAIT_S = 60;
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

/** Cautions that belong to rocket motors under an airframe: their class, ignition, distances, the tilted cradle, wings. */
export function rocketCautions({ motors, angleRad, massKg }: RocketFacts): readonly Notice[] {
  const impulse = installedImpulse(motors);
  const propellantKg = motors.reduce((sum, motor) => sum + motor.propellantKg.value, 0);
  return [
    ...classCautions(impulse, motors.length),
    ...limitCautions(impulse.value, propellantKg, massKg),
    caution(
      "rocket-ignition",
      "A burning motor cannot be stopped, its exhaust sets dry ground alight, and one that has not lit may still light.",
      `Light motors electrically from a distance, through an interlock whose key stays with whoever works at the cradle. After a misfire take the key out and wait ${MISFIRE_WAIT_S} s before anyone goes near. Clear what burns and keep an extinguisher at hand.`,
    ),
    distanceCaution(impulse.value),
    ...tiltCautions(angleRad.value),
    caution(
      "rocket-wings",
      "An airframe that wings carry throughout its flight stands outside the flight rules for model rockets (NFPA 1122), though its motors do not; rules for model aircraft apply to the flight.",
      "Ask the club which rules hold. Those of the Academy of Model Aeronautics (USA) keep powered models 7.6 m (25 ft) from everyone but pilot and helpers after launch.",
    ),
    ...(motors.length > 1
      ? [
          caution(
            "rocket-several-motors",
            "One motor of several that fails to light, or lights late, turns the airframe as it leaves the cradle.",
            "Mark each motor in turn as not lit and look at what is predicted before a shot.",
          ),
        ]
      : []),
  ];
}

function classCautions(impulse: Measured, count: number): Notice[] {
  if (!(impulse.value > 0)) return [];
  const shown = showMeasured(impulse, "N·s").text;
  const all = count === 1 ? "The motor holds" : `The ${count} motors together hold`;
  const found = motorClass(impulse.value);
  const above = motorClass(impulse.value + 2 * impulse.u);
  const letter =
    found === null
      ? "above the largest class, O"
      : `class ${found.letter} (up to ${found.upToNs} N·s)${above?.letter === found.letter ? "" : ", and within twice the uncertainty one above it"}`;
  return [
    caution(
      "rocket-class",
      `${all} ${shown}, ${letter}. What counts is the sum of all motors installed, lit or not: two of class C are a D.`,
      "Use only motors certified by a body your country accepts, and hold the sum against what you may fly.",
    ),
  ];
}

function limitCautions(impulseNs: number, propellantKg: number, massKg: Measured | null): Notice[] {
  const over = [
    ...(impulseNs > MODEL_ROCKET_NS ? [`${MODEL_ROCKET_NS} N·s`] : []),
    ...(propellantKg > MODEL_ROCKET_PROPELLANT_KG
      ? [`${MODEL_ROCKET_PROPELLANT_KG * 1e3} g of propellant`]
      : []),
    ...(massKg !== null && massKg.value > MODEL_ROCKET_KG ? [`${MODEL_ROCKET_KG * 1e3} g all-up`] : []),
  ];
  if (over.length === 0) return [];
  return [
    {
      ...caution(
        "rocket-over-limit",
        `This is more than a model rocket may be (NFPA 1122): ${over.join(", ")}.`,
        "Above these limits the rules of high-power rockets and their licences begin.",
      ),
      level: "warning",
    },
  ];
}

function distanceCaution(impulseNs: number): Notice {
  const letter = impulseNs > 0 ? motorClass(impulseNs)?.letter : undefined;
  const near = letter !== undefined && NEAR.includes(letter);
  const kept = near
    ? "4.6 m (15 ft) away for motors up to class D"
    : "9.1 m (30 ft) away for motors above class D";
  return caution(
    "rocket-distance",
    `For rockets that climb straight up, the code of the National Association of Rocketry (USA) keeps people at least ${kept}. An airframe boosted at a slant, or turned by its thrust, reaches much farther.`,
    "Do not take that distance for enough: keep the ground ahead and to the sides clear, stand behind, and call each shot before arming it.",
  );
}

function tiltCautions(angleRad: number): Notice[] {
  const tiltDeg = 90 - (angleRad * 180) / Math.PI;
  if (tiltDeg <= FROM_VERTICAL_DEG) return [];
  return [
    {
      ...caution(
        "rocket-tilt",
        `The cradle leans ${Math.round(tiltDeg)}° from the vertical. The codes for model rockets launch within ${FROM_VERTICAL_DEG}° of it.`,
        "Such a shot is no model rocket launch: ask the range and its insurer before planning one.",
      ),
      level: "warning",
    },
  ];
}

function caution(code: string, cause: string, remedy: string): Notice {
  return { level: "note", code, cause, remedy: `${remedy} ${ROCKET_DEFERENCE}` };
}
