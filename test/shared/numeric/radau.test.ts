import { describe, expect, it } from "vitest";
import { denseAt } from "../../../src/shared/numeric/dormand-prince.ts";
import { implicitStepper, RADAU } from "../../../src/shared/numeric/radau.ts";
import type { Rhs } from "../../../src/shared/numeric/stepper.ts";

const { a, c } = RADAU;
const dot = (x: readonly number[], y: readonly number[]) => x.reduce((sum, v, i) => sum + v * y[i]!, 0);

describe("RADAU", () => {
  it("is collocation at the Radau points: Σ a_ij c_j^(k−1) = c_i^k/k for k = 1, 2, 3", () => {
    for (const k of [1, 2, 3]) {
      const powers = c.map((x) => x ** (k - 1));
      a.forEach((row, i) => {
        expect(dot(row, powers)).toBeCloseTo(c[i]! ** k / k, 14);
      });
    }
  });
  it("has order 5: its weights integrate up to the fourth power exactly, and not the fifth", () => {
    for (const k of [1, 2, 3, 4, 5]) {
      expect(
        dot(
          a[2],
          c.map((x) => x ** (k - 1)),
        ),
      ).toBeCloseTo(1 / k, 14);
    }
    expect(
      Math.abs(
        dot(
          a[2],
          c.map((x) => x ** 5),
        ) -
          1 / 6,
      ),
    ).toBeGreaterThan(1e-4);
  });
  it("has the real eigenvalue μ of A⁻¹: det(I − A μ) = 0, and weights e that see no constant slope", () => {
    const m = a.map((row, i) => row.map((x, j) => (i === j ? 1 : 0) - RADAU.mu * x));
    const [[p, q, r], [s, t, u], [v, w, x]] = m as unknown as [number[], number[], number[]];
    const determinant = p! * (t! * x! - u! * w!) - q! * (s! * x! - u! * v!) + r! * (s! * w! - t! * v!);
    expect(determinant).toBeCloseTo(0, 12);
    expect(1 + dot(RADAU.e, c)).toBeCloseTo(0, 13);
    const squares = c.map((z) => z * z);
    expect(dot(RADAU.e, squares)).toBeCloseTo(0, 13);
  });
});

// y' = −2 t y², y(0) = 1: y = 1/(1 + t²).
const rhs: Rhs = (t, y, out) => {
  out[0] = -2 * t * y[0]! ** 2;
};

function errorsOf(n: number): { readonly end: number; readonly between: number } {
  const h = 2 / n;
  const stepper = implicitStepper({ rhs, relTol: 1e-10, absTol: [1e-10] });
  const y = Float64Array.from([1]);
  let between = 0;
  for (let i = 0; i < n; i++) {
    expect(Number.isFinite(stepper.attempt(i * h, y, h))).toBe(true);
    const dense = stepper.dense();
    const middle = (i + 0.4) * h;
    between = Math.max(between, Math.abs(denseAt(dense, middle)[0]! - 1 / (1 + middle ** 2)));
    y.set(stepper.end);
  }
  return { end: Math.abs(y[0]! - 0.2), between };
}

describe("implicitStepper", () => {
  it("converges with order 5 at the end of steps and 4 between them", () => {
    const [coarse, fine] = [errorsOf(20), errorsOf(40)];
    expect(Math.log2(coarse.end / fine.end)).toBeGreaterThan(4.7);
    expect(Math.log2(coarse.between / fine.between)).toBeGreaterThan(3.6);
    expect(fine.between).toBeLessThan(1e-5);
  });
  it("damps a stiff transient in one step: y' = −1e9 y", () => {
    const stiff: Rhs = (_t, y, out) => {
      out[0] = -1e9 * y[0]!;
    };
    const stepper = implicitStepper({ rhs: stiff, relTol: 1e-6, absTol: [1e-6] });
    stepper.attempt(0, Float64Array.from([1]), 1);
    expect(Math.abs(stepper.end[0]!)).toBeLessThan(1e-6);
  });
  it("says NaN of a step it cannot take", () => {
    const broken: Rhs = (t, _y, out) => {
      out[0] = t > 0.5 ? Number.NaN : 1;
    };
    const stepper = implicitStepper({ rhs: broken, relTol: 1e-6, absTol: [1e-6] });
    expect(stepper.attempt(0, Float64Array.from([1]), 1)).toBeNaN();
  });
});
