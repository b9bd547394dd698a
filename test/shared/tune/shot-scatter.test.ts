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

  it("by hand: differences -1, 0, 1 and 4 % of unequal weight", () => {
    // Variances 1, 1, 4 and 4 give weights 1, 1, 1/4, 1/4: sum 2.5, squares 2.125; mean (-1 +
    // 0 + 0.25 + 1)/2.5 = 0.1.
    const made = [
      [-1, 1],
      [0, 1],
      [1, 4],
      [4, 4],
    ].map(([relative, variance]) => ({ relative: relative! / 100, variance: variance! / 1e4 }));
    const q = 1.1 ** 2 + 0.1 ** 2 + (0.9 ** 2 + 3.9 ** 2) / 4;
    expect(shotScatter(made)).toBeCloseTo(Math.sqrt((q - 3) / (2.5 - 2.125 / 2.5)) / 100, 12);
    expect(shotScatter(made.slice(0, 3))).toBe(0); // Q = 1.6 is less than its 2 degrees of freedom
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
