import { describe, expect, it } from "vitest";
import { studentT } from "../../src/shared/numeric/student-t.ts";

describe("Student's t, two-sided (JCGM 100:2008, table G.2; more digits by scipy.stats.t.ppf)", () => {
  it.each([
    [0.95, 1, 12.706204736174694],
    [0.95, 2, 4.302652729749462],
    [0.95, 3, 3.1824463052837078],
    [0.95, 4, 2.7764451051977934],
    [0.95, 5, 2.5705818356363146],
    [0.95, 9, 2.262157162798205],
    [0.95, 19, 2.0930240544083087],
    [0.95, 100, 1.9839715185235518],
    [0.95, 10_000, 1.960201239890626],
    [0.9545, 1, 13.96781148750255],
    [0.9545, 4, 2.8693151696963826],
    [0.9545, 10, 2.28368161326801],
    [0.99, 2, 9.924843200918287],
    [0.6827, 3, 1.1969125599716923],
  ])("p = %d, %d degrees of freedom", (p, nu, factor) => {
    expect(Math.abs(studentT(p, nu) / factor - 1)).toBeLessThan(1e-9);
  });

  // The GUM's own table, as printed.
  it.each([
    [1, 1.84, 13.97, 235.8],
    [2, 1.32, 4.53, 19.21],
    [5, 1.11, 2.65, 5.51],
    [10, 1.05, 2.28, 3.96],
    [50, 1.01, 2.05, 3.16],
    [100, 1.005, 2.025, 3.077],
    [Infinity, 1, 2, 3],
  ])("the row of %d degrees of freedom in table G.2", (nu, one, two, three) => {
    expect(Math.abs(studentT(0.6827, nu) / one - 1)).toBeLessThan(0.005);
    expect(Math.abs(studentT(0.9545, nu) / two - 1)).toBeLessThan(0.0025);
    expect(Math.abs(studentT(0.9973, nu) / three - 1)).toBeLessThan(0.002);
  });
});

describe("studentT", () => {
  it("has the closed forms of 1 and 2 degrees of freedom, far out and near 0", () => {
    for (const p of [1e-6, 0.01, 0.3, 0.5, 0.9, 0.999999]) {
      expect(studentT(p, 1) / Math.tan((Math.PI * p) / 2)).toBeCloseTo(1, 9);
      expect(studentT(p, 2) / Math.sqrt((2 * p * p) / (1 - p * p))).toBeCloseTo(1, 9);
    }
  });

  it("takes degrees of freedom that are no whole number, and is continuous where the series takes over", () => {
    expect(studentT(0.95, 9.4229)).toBeCloseTo(2.2467752136182537, 9);
    expect(studentT(0.95, 1000.0001) / studentT(0.95, 1000)).toBeCloseTo(1, 9);
    expect(studentT(0.95, Infinity)).toBeCloseTo(1.959963984540054, 9);
  });

  it("throws RangeError on a probability outside (0, 1) and on no degrees of freedom", () => {
    expect(() => studentT(1, 5)).toThrow(RangeError);
    expect(() => studentT(0.95, 0)).toThrow(/nu > 0.*0.95, 0/);
  });
});
