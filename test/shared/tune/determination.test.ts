import { describe, expect, it } from "vitest";
import { combinationsSeen } from "../../../src/shared/tune/determination.ts";

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
