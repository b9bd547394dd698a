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
