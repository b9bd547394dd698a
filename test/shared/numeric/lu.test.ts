import { expect, it } from "vitest";
import { factor, solve } from "../../../src/shared/numeric/lu.ts";
import { createChance } from "../../../src/shared/quantity/chance.ts";

it("solve gives back x from A x for a matrix that needs row exchanges, by hand", () => {
  const matrix = Float64Array.from([0, 2, 1, 1, 1, 0, 3, 0, 1]);
  const pivots = new Int32Array(3);
  expect(factor(matrix, pivots)).toBe(true);
  const b = Float64Array.from([0 * 5 + 2 * 7 - 1, 5 + 7, 3 * 5 - 1]); // x = [5, 7, −1]
  solve(matrix, pivots, b);
  [5, 7, -1].forEach((x, i) => {
    expect(b[i]).toBeCloseTo(x, 14);
  });
});

it("solve leaves residuals of rounding size for 24 seeded equations", () => {
  const chance = createChance(11);
  const n = 24;
  const matrix = Float64Array.from({ length: n * n }, () => chance.normal());
  const x = Array.from({ length: n }, () => chance.normal());
  const b = Float64Array.from({ length: n }, (_, i) =>
    x.reduce((sum, v, j) => sum + matrix[i * n + j]! * v, 0),
  );
  const pivots = new Int32Array(n);
  expect(factor(matrix, pivots)).toBe(true);
  solve(matrix, pivots, b);
  x.forEach((v, i) => {
    expect(b[i]).toBeCloseTo(v, 10);
  });
});

it("factor says false of a singular matrix", () => {
  expect(factor(Float64Array.from([1, 2, 2, 4]), new Int32Array(2))).toBe(false);
  expect(factor(Float64Array.from([Number.NaN, 0, 0, 1]), new Int32Array(2))).toBe(false);
});
