/** Names of the model's list, in words, that the launcher holds under a path of its own. */
const PATHS: Readonly<Record<string, string>> = {
  "angle of the cradle": "angleRad",
  "travel along the cradle": "railM",
  "friction along the cradle": "slidingN",
  "mass of the booster": "boosterKg",
  "all-up mass": "airframeMassKg",
};
const MOTOR_PATHS: Readonly<Record<string, string>> = {
  "thrust over the curve": "thrustScale",
  propellant: "propellantKg",
  "ignition delay": "delayS",
  "total impulse": "thrust.totalImpulseNs",
  "mean thrust": "thrust.meanThrustN",
  rise: "thrust.riseS",
  fall: "thrust.fallS",
};

/**
 * The path in the session's launcher of an input that `rocketUncertainInputs` names in words, e.g. "motors.0.thrustScale"; "airframeMassKg" for
 * the all-up mass. What lies with airframe or air, or bears on turning only, keeps its words.
 */
export function rocketPath(name: string): string {
  const motor = /^motor (\d+) “.*”, (.+)$/.exec(name);
  const inMotor = motor === null ? undefined : MOTOR_PATHS[motor[2]!];
  if (inMotor !== undefined) return `motors.${Number(motor![1]) - 1}.${inMotor}`;
  return PATHS[name] ?? name;
}
