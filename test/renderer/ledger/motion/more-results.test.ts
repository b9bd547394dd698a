import { expect, it } from "vitest";
import { moreResults, pushLineSays } from "../../../../src/renderer/ledger/motion/more-results.ts";
import type { Quantity, Unit } from "../../../../src/shared/quantity/measured.ts";

const quantity = (value: number, u: number, unit: Unit): Quantity => ({ value, u, unit, how: "" });

it("lists what stands nowhere else, in the order of a report", () => {
  const names = moreResults({
    meanForce: quantity(100, 2, "N"),
    releaseSpeed: quantity(14, 0.1, "m/s"),
    pitchAtRelease: quantity(0.4, 0.01, "rad"),
    stallMargin: quantity(1.5, 0.1, "1"),
    pushLineOffset: quantity(1e-3, 1e-4, "m"),
  }).map(({ name }) => name);
  expect(names).toEqual(["pitchAtRelease", "meanForce"]);
});

it("says on which side of the centre of gravity the push passes and what that does", () => {
  expect(pushLineSays(quantity(0.00085, 0.00005, "m"), "SI")).toBe(
    "The push passes 0.85 ± 0.05 mm below the centre of gravity and turns the nose up.",
  );
  expect(pushLineSays(quantity(-0.00254, 0.000254, "m"), "field")).toBe(
    "The push passes 0.100 ± 0.010 in above the centre of gravity and turns the nose down.",
  );
});

it("does not tell a side that its uncertainty does not tell", () => {
  expect(pushLineSays(quantity(0.0001, 0.0001, "m"), "SI")).toMatch(
    /the uncertainty leaves the side open\.$/,
  );
});
