import { expect, it } from "vitest";
import { ifIntegrable } from "../../../src/shared/numeric/if-integrable.ts";
import { integrate } from "../../../src/shared/numeric/integrate.ts";

/** y' = y², y(0) = 1, which reaches infinity at t = 1. */
const until = (tEnd: number) => () =>
  integrate(
    {
      rhs: (_t, y, out) => {
        out[0] = y[0]! * y[0]!;
      },
      relTol: 1e-8,
      absTol: [1e-8],
    },
    0,
    Float64Array.of(1),
    tEnd,
  );

it("gives what can be integrated, null for what cannot, and lets other errors pass", () => {
  expect(ifIntegrable(until(0.5))?.y[0]).toBeCloseTo(2, 6);
  expect(ifIntegrable(until(2))).toBeNull();
  expect(() => ifIntegrable(until(-1))).toThrow(RangeError);
});
