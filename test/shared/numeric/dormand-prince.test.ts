import { describe, expect, it } from "vitest";
import {
  DORMAND_PRINCE,
  denseAt,
  denseStep,
  step,
  stepScratch,
} from "../../../src/shared/numeric/dormand-prince.ts";
import type { Rhs } from "../../../src/shared/numeric/stepper.ts";

const { a, c, e } = DORMAND_PRINCE;
const A = a.map((row) => Array.from({ length: 7 }, (_, j) => row[j] ?? 0));
const FIFTH = A[6]!;
const FOURTH = FIFTH.map((b, i) => b - e[i]!);
const sum = (f: (i: number) => number) =>
  Array.from({ length: 7 }, (_, i) => f(i)).reduce((s, x) => s + x, 0);
const ac = (i: number, power: number) => sum((j) => A[i]![j]! * c[j]! ** power);
const aac = (i: number, power: number) => sum((j) => A[i]![j]! * ac(j, power));

/**
 * Order conditions of Butcher's trees: [order, sum of weights b, its value]. Hairer, Nørsett
 * & Wanner I, table II.2.1.
 */
function conditions(b: readonly number[]): readonly (readonly [number, number, number])[] {
  const w = (f: (i: number) => number) => sum((i) => b[i]! * f(i));
  return [
    [1, w(() => 1), 1],
    [2, w((i) => c[i]!), 1 / 2],
    [3, w((i) => c[i]! ** 2), 1 / 3],
    [3, w((i) => ac(i, 1)), 1 / 6],
    [4, w((i) => c[i]! ** 3), 1 / 4],
    [4, w((i) => c[i]! * ac(i, 1)), 1 / 8],
    [4, w((i) => ac(i, 2)), 1 / 12],
    [4, w((i) => aac(i, 1)), 1 / 24],
    [5, w((i) => c[i]! ** 4), 1 / 5],
    [5, w((i) => c[i]! ** 2 * ac(i, 1)), 1 / 10],
    [5, w((i) => ac(i, 1) ** 2), 1 / 20],
    [5, w((i) => c[i]! * ac(i, 2)), 1 / 15],
    [5, w((i) => ac(i, 3)), 1 / 20],
    [5, w((i) => c[i]! * aac(i, 1)), 1 / 30],
    [5, w((i) => sum((j) => A[i]![j]! * c[j]! * ac(j, 1))), 1 / 40],
    [5, w((i) => aac(i, 2)), 1 / 60],
    [5, w((i) => sum((j) => A[i]![j]! * aac(j, 1))), 1 / 120],
  ];
}

describe("DORMAND_PRINCE", () => {
  it("has stages that sit at c: each row of A sums to its c", () => {
    A.forEach((row, i) => {
      expect(row.reduce((s, x) => s + x, 0)).toBeCloseTo(c[i]!, 13);
    });
  });
  it("meets all 17 order conditions up to 5", () => {
    for (const [, got, want] of conditions(FIFTH)) expect(got).toBeCloseTo(want, 13);
  });
  it("meets all 8 conditions up to order 4 with the embedded weights, and fails some of order 5", () => {
    const list = conditions(FOURTH);
    for (const [, got, want] of list.filter(([order]) => order <= 4)) expect(got).toBeCloseTo(want, 13);
    expect(list.some(([order, got, want]) => order === 5 && Math.abs(got - want) > 1e-5)).toBe(true);
  });
});

// y' = −2 t y², y(0) = 1: y = 1/(1 + t²); nonlinear and with time in it, so that every coefficient matters.
const rhs: Rhs = (t, y, out) => {
  out[0] = -2 * t * y[0]! ** 2;
};
const exact = (t: number) => 1 / (1 + t * t);

/** Errors at the end and midway between steps, over [0, 2] in n steps. */
function errorsOf(n: number): { readonly end: number; readonly between: number } {
  const h = 2 / n;
  const s = stepScratch(1);
  const y = Float64Array.from([1]);
  let between = 0;
  for (let i = 0; i < n; i++) {
    rhs(i * h, y, s.k[0]);
    step(rhs, i * h, y, h, s);
    const dense = denseStep(i * h, y, h, s);
    for (const part of [0.25, 0.5, 0.8]) {
      const t = (i + part) * h;
      between = Math.max(between, Math.abs(denseAt(dense, t)[0]! - exact(t)));
    }
    y.set(s.end);
  }
  return { end: Math.abs(y[0]! - exact(2)), between };
}

describe("step and denseStep", () => {
  it("converge with order 5 at the end of steps and at least 4 between them", () => {
    const [coarse, fine] = [errorsOf(40), errorsOf(80)];
    expect(Math.log2(coarse.end / fine.end)).toBeGreaterThan(4.8);
    // The interpolation errs by h^5 locally, one order above the fourth it is named for.
    expect(Math.log2(coarse.between / fine.between)).toBeGreaterThan(4.5);
    expect(fine.between).toBeLessThan(1e-7);
  });
  it("agree with the step at both of its ends", () => {
    const s = stepScratch(1);
    const y = Float64Array.from([1]);
    rhs(0, y, s.k[0]);
    step(rhs, 0, y, 0.3, s);
    const dense = denseStep(0, y, 0.3, s);
    expect(denseAt(dense, 0)[0]).toBe(1);
    expect(denseAt(dense, 0.3)[0]).toBeCloseTo(s.end[0]!, 15);
  });
});
