import { elementAt } from "../quantity/known-element.ts";
import type { JointInputs } from "./joint-inputs.ts";
import type { Propagated, UncertainInput } from "./propagate.ts";

/**
 * Covariance of one output with each input, to first order, by the input's name, in the product of their
 * units: for who reads both further on and must not take them as independent. Source: JCGM 100:2008, 5.2.2.
 * @param propagated what `propagate` gave for these inputs and directions
 * @param output its place among the outputs
 */
export function covariancesWith(
  { parts }: Propagated,
  inputs: readonly UncertainInput[],
  joint: JointInputs | null,
  output: number,
): Readonly<Record<string, number>> {
  const directions = (joint?.directions ?? []).filter((direction) =>
    inputs.some(({ name }) => shiftOf(joint, direction, name) !== 0),
  );
  const entries = inputs.map(({ name, u }, i) => {
    const own = elementAt(elementAt(parts, i), output) * u;
    const common = directions.map(
      (direction, k) =>
        elementAt(elementAt(parts, inputs.length + k), output) * shiftOf(joint, direction, name),
    );
    return [name, common.reduce((sum, one) => sum + one, own)];
  });
  return Object.fromEntries(entries);
}

function shiftOf(joint: JointInputs | null, direction: readonly number[], name: string): number {
  return direction[joint?.names.indexOf(name) ?? -1] ?? 0;
}
