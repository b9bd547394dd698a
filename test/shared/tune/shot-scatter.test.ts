import { describe, expect, it } from "vitest";
import { createChance } from "../../../src/shared/quantity/chance.ts";
import { shotScatter } from "../../../src/shared/tune/shot-scatter.ts";

describe("shotScatter", () => {
  it("is about the scatter that was put in, and about nothing where there is none", () => {
    const chance = createChance(3);
    const made = (scatter: number) =>
      Array.from({ length: 200 }, () => ({
        relative: 0.03 + scatter * chance.normal() + 0.005 * chance.normal(),
        variance: 0.005 ** 2,
      }));
    // a standard deviation of 200 values is good to 5 %; three of that
    expect(Math.abs(shotScatter(made(0.02))! / 0.02 - 1)).toBeLessThan(0.16);
    expect(shotScatter(made(0))).toBeLessThan(0.003);
  });

  it("is not known from two shots", () => {
    expect(
      shotScatter([
        { relative: 0, variance: 1 },
        { relative: 1, variance: 1 },
      ]),
    ).toBeNull();
  });
});
