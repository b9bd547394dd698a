import { describe, expect, it } from "vitest";
import { numericalTolerance } from "../../../src/shared/quantity/numerical-tolerance.ts";

describe("numericalTolerance", () => {
  it("is the published half unit of the last digit: u = 0.000 35 g to one digit gives 0.000 05 g (JCGM 101:2008, 7.9.2)", () => {
    expect(numericalTolerance(0.00035)).toBeCloseTo(0.00005, 12);
  });
  it("rounds before it counts: 0.096 is 0.1, and no u tolerates nothing", () => {
    expect(
      [numericalTolerance(0.096), numericalTolerance(0.094), numericalTolerance(0)].map((x) =>
        Number(x.toPrecision(3)),
      ),
    ).toEqual([0.05, 0.005, 0]);
  });
});
