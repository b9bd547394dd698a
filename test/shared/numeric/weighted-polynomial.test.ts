import { expect, it } from "vitest";
import { weightedPolynomial } from "../../../src/shared/numeric/weighted-polynomial.ts";

const x = [3, 4, 7, 11, 12, 20];
const y = [1, 2.5, 7, 16, 20.5, 51];
const u = [0.5, 0.2, 0.4, 1, 0.3, 0.7];

// numpy: polyfit(x, y, 2, w=1/u, cov="unscaled").
it("weightedPolynomial agrees with numpy in its leading coefficient, covariance and χ²", () => {
  const { coefficients, covariance, half, centre, chi2, dof, residuals } = weightedPolynomial(x, y, u, 2);
  const [c0, c1, c2] = coefficients as [number, number, number];
  expect(c2 / half ** 2).toBeCloseTo(0.10306435, 8);
  expect(Math.sqrt(covariance[2]?.[2] as number) / half ** 2).toBeCloseTo(0.00658117, 8);
  expect(chi2).toBeCloseTo(4.683055123092303, 10);
  expect(dof).toBe(3);
  // The same polynomial in x itself.
  const z = -centre / half;
  expect(c0 + c1 * z + c2 * z * z).toBeCloseTo(-1.54889365, 8);
  expect((c1 + 2 * c2 * z) / half).toBeCloseTo(0.57676885, 8);
  expect(residuals.reduce((sum, r, i) => sum + (r / (u[i] as number)) ** 2, 0)).toBeCloseTo(chi2, 12);
});

it("weightedPolynomial does not lose digits far from the origin", () => {
  const far = weightedPolynomial(
    x.map((one) => one + 1e6),
    y,
    u,
    2,
  );
  const near = weightedPolynomial(x, y, u, 2);
  near.coefficients.forEach((c, j) => {
    expect(far.coefficients[j]).toBeCloseTo(c, 10);
  });
});

it("weightedPolynomial throws on too few distinct x, unequal lengths and a u that is not > 0", () => {
  expect(() => weightedPolynomial([1, 1, 2], [0, 1, 2], [1, 1, 1], 2)).toThrow(/2 distinct x for 3/);
  expect(() => weightedPolynomial([1, 2], [0], [1, 1], 1)).toThrow(/one length/);
  expect(() => weightedPolynomial([1, 2], [0, 1], [1, 0], 1)).toThrow(/u > 0/);
});
