import type { LaunchInputs } from "../session/launch-inputs.ts";

/**
 * A launch with every standard uncertainty of airframe, launcher, tuning and conditions at 0: the model then
 * runs once and gives its values alone, some fifty times faster than with their uncertainty.
 */
export function exactInputs(launch: LaunchInputs): LaunchInputs {
  const { airframe, launcher, tuning, conditions } = launch;
  return {
    ...launch,
    airframe: exact(airframe),
    launcher: exact(launcher),
    tuning: exact(tuning),
    conditions: exact(conditions),
  };
}

function exact<T>(part: T): T {
  if (Array.isArray(part)) return part.map(exact) as T;
  if (typeof part !== "object" || part === null) return part;
  const entries = Object.entries(part);
  if (entries.length === 2 && "value" in part && "u" in part) return { value: part.value, u: 0 } as T;
  return Object.fromEntries(entries.map(([key, value]) => [key, exact(value)])) as T;
}
