import { describe, expect, it } from "vitest";
import { squareAboveZero, withVariance } from "../../../src/shared/tune/one-sided.ts";

/** By Simpson's rule over what lies above 0. */
function byIntegration(mean: number, sd: number): number {
  const top = Math.max(0, mean) + 12 * sd;
  const n = 20_000;
  let [square, whole] = [0, 0];
  for (let i = 0; i <= n; i++) {
    const x = (top * i) / n;
    const weight = (i === 0 || i === n ? 1 : i % 2 === 1 ? 4 : 2) * Math.exp(-(((x - mean) / sd) ** 2) / 2);
    square += weight * x * x;
    whole += weight;
  }
  return square / whole;
}

describe("what is left of a normal distribution above 0", () => {
  it("has the mean square that integration gives, on both sides of the limit", () => {
    for (const [mean, sd] of [
      [0, 1],
      [2, 1],
      [-1, 1],
      [-4, 0.5],
      [0.3, 2],
    ] as const) {
      expect(squareAboveZero(mean, sd) / byIntegration(mean, sd)).toBeCloseTo(1, 6);
    }
    expect(squareAboveZero(0, 3)).toBeCloseTo(9, 12); // half of a symmetric one has the whole one's
    expect(squareAboveZero(-400, 1)).toBeGreaterThan(0);
  });

  it("changes the others by their regression on it", () => {
    // Of two with correlation 0.6 the first grows to four times its variance: the other owes it 0.36 of its
    // own.
    const other = withVariance(Float64Array.of(1, 0.6, 0.6, 1), 0, 4);
    expect([...other]).toEqual([4, 2.4, 2.4, 1 + 0.36 * 3].map((x) => expect.closeTo(x, 12)));
  });
});
