import { describe, expect, it } from "vitest";
import { leastSquares } from "../../../src/shared/numeric/householder.ts";
import { createChance } from "../../../src/shared/quantity/chance.ts";
import { unwrap } from "../../../src/shared/quantity/result.ts";

describe("leastSquares", () => {
  it("fits the line worked by hand: (0, 1), (1, 3), (2, 4) has 7/6 + 3/2 t, sum of squares 1/6", () => {
    const fit = unwrap(leastSquares(Float64Array.of(1, 0, 1, 1, 1, 2), 3, 2, [1, 3, 4]));
    expect(fit.x[0]).toBeCloseTo(7 / 6, 14);
    expect(fit.x[1]).toBeCloseTo(3 / 2, 14);
    expect(fit.sumOfSquares).toBeCloseTo(1 / 6, 14);
    // (AᵀA)⁻¹ = [[3, 3], [3, 5]]⁻¹ = [[5, -3], [-3, 3]] / 6
    const hand = [5 / 6, -1 / 2, -1 / 2, 1 / 2];
    for (let i = 0; i < 4; i++) expect(fit.covariance[i]).toBeCloseTo(hand[i]!, 14);
  });

  it("keeps seven digits on a basis whose normal equations would lose them all", () => {
    // Powers up to 9 on [0, 1]: condition about 1e7, squared 1e14.
    const [m, n] = [40, 10];
    const a = new Float64Array(m * n);
    const truth = Array.from({ length: n }, (_, j) => 1 - 2 * (j % 2) * (j + 1));
    const b = new Float64Array(m);
    for (let i = 0; i < m; i++)
      for (let j = 0; j < n; j++) {
        a[i * n + j] = (i / (m - 1)) ** j;
        b[i]! += a[i * n + j]! * truth[j]!;
      }
    const fit = unwrap(leastSquares(a, m, n, b));
    for (const [j, value] of truth.entries()) expect(Math.abs(fit.x[j]! - value)).toBeLessThan(1e-7);
  });

  it("has the covariance that 4000 seeded repetitions scatter with, within 7 % (three standard errors)", () => {
    const chance = createChance(11);
    const [m, n] = [6, 2];
    const a = Float64Array.from({ length: m * n }, (_, k) => (k % 2 === 0 ? 1 : (k - 1) ** 2 / 8));
    const slopes: number[] = [];
    let u2 = 0;
    for (let k = 0; k < 4000; k++) {
      const fit = unwrap(
        leastSquares(
          a,
          m,
          n,
          Float64Array.from({ length: m }, () => chance.normal()),
        ),
      );
      slopes.push(fit.x[1]!);
      u2 = fit.covariance[3]!;
    }
    const variance = slopes.reduce((sum, x) => sum + x * x, 0) / slopes.length;
    expect(Math.abs(variance / u2 - 1)).toBeLessThan(0.07);
  });

  it("refuses dependent columns, with the condition", () => {
    expect(leastSquares(Float64Array.of(1, 2, 2, 4, 3, 6), 3, 2, [1, 1, 1])).toMatchObject({
      ok: false,
      code: "rank-deficient",
      numbers: { limit: 1e12 },
    });
  });

  it("throws RangeError on fewer rows than unknowns", () => {
    expect(() => leastSquares(Float64Array.of(1, 2), 1, 2, [1])).toThrow(/m >= n.*got 1, 2/);
  });
});
