import { expect, it } from "vitest";
import { chiSquareTail } from "../../../src/shared/numeric/chi-square.ts";

it("gives the closed forms: exp(-x/2) for 2 degrees of freedom, exp(-x/2)(1 + x/2) for 4", () => {
  for (const x of [0.01, 0.7, 3, 9, 40, 300]) {
    expect(chiSquareTail(x, 2) / Math.exp(-x / 2)).toBeCloseTo(1, 11);
    expect(chiSquareTail(x, 4) / (Math.exp(-x / 2) * (1 + x / 2))).toBeCloseTo(1, 11);
  }
});

it("gives the printed quantiles of the tables: 3.841459 (1), 18.307038 (10), 124.342113 (100) leave 5 %", () => {
  expect(chiSquareTail(3.841458820694124, 1)).toBeCloseTo(0.05, 12);
  expect(chiSquareTail(18.307038053275146, 10)).toBeCloseTo(0.05, 12);
  expect(chiSquareTail(124.34211340400407, 100)).toBeCloseTo(0.05, 11);
});

it("is 1 at nothing and for no degrees of freedom, and throws RangeError below zero", () => {
  expect(chiSquareTail(0, 3)).toBe(1);
  expect(chiSquareTail(5, 0)).toBe(1);
  expect(() => chiSquareTail(-1, 3)).toThrow(/x >= 0.*got -1, 3/);
});

// scipy 1.x, scipy.stats.chi2.sf(x, n).
it.each([
  [3.2, 1, 0.07363827012030258],
  [7.5, 1, 0.0061698993205441645],
  [20, 1, 7.744216431044088e-6],
  [1.3, 2, 0.5220457767610162],
  [18.4, 7, 0.010289897874052595],
  [150, 130, 0.11071098337601858],
  [260, 130, 1.0449060897597336e-10],
  [0.01, 5, 0.9999994699729957],
])("chiSquareTail(%d, %d) is %d, as scipy has it", (chi2, dof, tail) => {
  expect(chiSquareTail(chi2, dof) / tail).toBeCloseTo(1, 10);
});

it("chiSquareTail of nothing is certain, of far too much is 0, and never more than 1", () => {
  expect(chiSquareTail(0, 3)).toBe(1);
  expect(chiSquareTail(1e5, 3)).toBe(0);
  expect(chiSquareTail(1e-12, 131)).toBeLessThanOrEqual(1);
});
