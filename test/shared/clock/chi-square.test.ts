import { expect, it } from "vitest";
import { chiSquareTail } from "../../../src/shared/clock/chi-square.ts";

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

it("chiSquareTail throws on no freedom and on a negative sum", () => {
  expect(() => chiSquareTail(1, 0)).toThrow(/dof >= 1/);
  expect(() => chiSquareTail(-1, 2)).toThrow(/chi2 >= 0/);
});
