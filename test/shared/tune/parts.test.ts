import { describe, expect, it } from "vitest";
import { createChance } from "../../../src/shared/quantity/chance.ts";
import { combinationsSeen } from "../../../src/shared/tune/determination.ts";
import { shotScatter } from "../../../src/shared/tune/shot-scatter.ts";
import { jointCovariance } from "../../../src/shared/uncertainty/joint-covariance.ts";

describe("jointCovariance", () => {
  it("of a straight line with a slope known beforehand is what drawing that slope gives", () => {
    // y = p + q x at x = 0, 1, 2, u = 0.1; p fitted under a prior of 1, q held at its prior of 1: p = mean(y) - q mean(x).
    const rows = [0, 1, 2].map((x) => [1 / 0.1, x / 0.1]);
    const jacobian = Float64Array.from([...rows, [1, 0], [0, 1]].flat());
    const c = jointCovariance(jacobian, 5, 2, [true, false]);
    const own = 1 / (3 / 0.01 + 1);
    const shift = -own * (3 / 0.01); // mean of x is 1
    expect(c[0]).toBeCloseTo(own + shift * shift, 12);
    expect(c[1]).toBeCloseTo(shift, 12);
    expect(c[2]).toBeCloseTo(shift, 12);
    expect(c[3]).toBe(1);
  });
});

describe("combinationsSeen", () => {
  it("names two inputs of which only the difference is known", () => {
    // each keeps 0.75 of its variance, but their sum (a direction of the covariance) keeps a hundredth
    const [a, b] = [0.8, -0.79];
    expect(combinationsSeen(Float64Array.from([a, b, 0, b, a, 0, 0, 0, 1]), 3, [0, 1, 2])).toEqual([[0, 1]]);
  });

  it("names an input that takes part with either sign, and none whose share is small", () => {
    // Known is the direction (1, -1, 0.1) to a hundredth, all across it as little as before.
    const d = [1, -1, 0.1].map((x) => x / Math.hypot(1, 1, 0.1));
    const c = Float64Array.from({ length: 9 }, (_, k) => {
      const [i, j] = [Math.floor(k / 3), k % 3];
      return (i === j ? 1 : 0) - 0.99 * d[i]! * d[j]!;
    });
    expect(combinationsSeen(c, 3, [0, 1, 2])).toEqual([[0, 1]]);
  });

  it("names none where nothing is known, or only one is undetermined", () => {
    expect(combinationsSeen(Float64Array.from([1, 0, 0, 1]), 2, [0, 1])).toEqual([]);
    expect(combinationsSeen(Float64Array.from([1, 0, 0, 1]), 2, [0])).toEqual([]);
  });
});

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
