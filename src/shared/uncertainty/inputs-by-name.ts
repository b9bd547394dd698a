import type { UncertainInput } from "./propagate.ts";

/**
 * A model that reads its inputs by name, as one that takes their values in the order of a list: list and
 * model cannot get out of step.
 */
export function inputsByName<N extends string, T>(
  inputs: readonly UncertainInput<N>[],
  model: (inputs: Readonly<Record<N, number>>) => T,
): (values: readonly number[]) => T {
  return (values) => {
    const named = Object.fromEntries(inputs.map(({ name }, i) => [name, values[i]]));
    return model(named as Record<N, number>);
  };
}
