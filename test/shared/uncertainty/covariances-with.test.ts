import { expect, it } from "vitest";
import { covariancesWith } from "../../../src/shared/uncertainty/covariances-with.ts";
import { jointInputs } from "../../../src/shared/uncertainty/joint-inputs.ts";
import { propagate } from "../../../src/shared/uncertainty/propagate.ts";

const INPUTS = [
  { name: "a", value: 1, u: 3 },
  { name: "b", value: 2, u: 4 },
  { name: "c", value: 5, u: 2 },
] as const;
/** Outputs: nothing, and y = a + 2 b + 3 c. */
const model = ([a, b, c]: readonly number[]) => [7, a! + 2 * b! + 3 * c!];

it("of independent inputs is the slope times the variance", () => {
  const result = propagate(model, INPUTS);
  if (!result.ok) throw new Error(result.code);
  const found = covariancesWith(result.value, INPUTS, null, 1);
  expect(found.a).toBeCloseTo(9, 9); // 1 * 3²
  expect(found.b).toBeCloseTo(32, 9); // 2 * 4²
  expect(found.c).toBeCloseTo(12, 9); // 3 * 2²
  expect(covariancesWith(result.value, INPUTS, null, 0)).toEqual({ a: 0, b: 0, c: 0 });
});

it("counts what correlated inputs bring along", () => {
  const others = jointInputs(
    ["x", "y"],
    [1, 1],
    [
      [1, 0],
      [0, 1],
    ],
  ); // of another model: no direction of these inputs
  const both = jointInputs(
    ["a", "b"],
    [3, 4],
    [
      [1, 0.5],
      [0.5, 1],
    ],
  );
  const joint = {
    names: [...others.names, ...both.names],
    directions: [
      ...others.directions.map((one) => [...one, 0, 0]),
      ...both.directions.map((one) => [0, 0, ...one]),
    ],
  };
  const result = propagate(model, INPUTS, joint);
  if (!result.ok) throw new Error(result.code);
  const found = covariancesWith(result.value, INPUTS, joint, 1);
  expect(found.a).toBeCloseTo(21, 9); // 3² + 2 * 0.5 * 3 * 4
  expect(found.b).toBeCloseTo(38, 9); // 0.5 * 3 * 4 + 2 * 4²
  expect(found.c).toBeCloseTo(12, 9);
});
