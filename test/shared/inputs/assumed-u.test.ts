import { expect, it } from "vitest";
import { INPUTS } from "../../../src/shared/inputs/all-inputs.ts";
import { withAssumedU } from "../../../src/shared/inputs/assumed-u.ts";
import { judgeInput } from "../../../src/shared/inputs/judge-input.ts";

it("gives every measured input a u above zero that is not odd for it, at either end of what is usual", () => {
  const odd = INPUTS.filter(({ form }) => form === "measured").flatMap((input) =>
    input.plausible.flatMap((value) => {
      const { u } = withAssumedU(value, input.kind, input.path);
      return u > 0 && judgeInput(input, value, u) === null ? [] : [`${input.path} ${value} ± ${u}`];
    }),
  );
  expect(odd).toEqual([]);
});

it("takes a rod to a tenth of a per cent, other lengths to 0.2 % and a millimetre at least", () => {
  expect(withAssumedU(1.2, "length", "shots[].scale.rodM")).toEqual({
    value: 1.2,
    u: expect.closeTo(0.0012, 12),
    assumed: true,
  });
  expect(withAssumedU(0.8, "length", "launcher.strokeM").u).toBeCloseTo(0.0016, 12);
  expect(withAssumedU(0.1, "length", null).u).toBe(0.001);
  expect(withAssumedU(-3, "speed", null).u).toBe(0.5);
});
