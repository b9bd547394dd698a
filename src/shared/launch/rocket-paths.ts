import { MOTOR_WORDS, ROCKET_WORDS, TRAPEZOID_WORDS } from "./rocket-words.ts";

/** Paths by the words of the model's list, of what the launcher holds. */
const PATHS: ReadonlyMap<string, string> = new Map([
  ...(["angleRad", "railM", "slidingN", "boosterKg"] as const).map(
    (key) => [ROCKET_WORDS[key].words, key] as const,
  ),
  [ROCKET_WORDS.massKg.words, "airframeMassKg"],
]);
const MOTOR_PATHS: ReadonlyMap<string, string> = new Map([
  ...(["thrustScale", "propellantKg", "delayS"] as const).map(
    (key) => [MOTOR_WORDS[key].words, key] as const,
  ),
  ...(["totalImpulseNs", "meanThrustN", "riseS", "fallS"] as const).map(
    (key) => [TRAPEZOID_WORDS[key].words, `thrust.${key}`] as const,
  ),
]);

/**
 * The path in the session's launcher of an input that `rocketUncertainInputs` names in words, e.g. "motors.0.thrustScale"; "airframeMassKg" for
 * the all-up mass. What lies with airframe or air, or bears on turning only, keeps its words.
 */
export function rocketPath(name: string): string {
  const motor = /^motor (\d+) “.*”, (.+)$/.exec(name);
  const inMotor = motor === null ? undefined : MOTOR_PATHS.get(motor[2]!);
  if (inMotor !== undefined) return `motors.${Number(motor![1]) - 1}.${inMotor}`;
  return PATHS.get(name) ?? name;
}
