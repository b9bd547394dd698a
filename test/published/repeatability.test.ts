import { describe, expect, it } from "vitest";
import { repeatability } from "../../src/shared/next-shot/repeatability.ts";
import { chiSquareQuantile } from "../../src/shared/numeric/chi-square-quantile.ts";
import { studentT } from "../../src/shared/numeric/student-t.ts";

describe("JCGM 100:2008, table G.2: two-sided factors of Student's t", () => {
  // The table prints two decimals; the further digits are those of scipy 1.10, stats.t.ppf.
  it.each([
    [1, 12.71, 12.7062047],
    [2, 4.3, 4.3026527],
    [3, 3.18, 3.1824463],
    [4, 2.78, 2.7764451],
    [5, 2.57, 2.5705818],
    [9, 2.26, 2.2621572],
    [19, 2.09, 2.0930241],
  ])("gives at 95 % and %i degrees of freedom %f", (nu, printed, digits) => {
    expect(Number(studentT(0.95, nu).toFixed(2))).toBe(printed);
    expect(Math.abs(studentT(0.95, nu) - digits)).toBeLessThan(6e-8);
  });

  it.each([
    [4, 2.87, 2.8693152],
    [10, 2.28, 2.2836816],
  ])("gives at 95.45 % and %i degrees of freedom %f", (nu, printed, digits) => {
    expect(Number(studentT(0.9545, nu).toFixed(2))).toBe(printed);
    expect(Math.abs(studentT(0.9545, nu) - digits)).toBeLessThan(6e-8);
  });
});

describe("NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.4: upper critical values of chi-square", () => {
  it.each([
    [1, 0.025, 5.024],
    [4, 0.025, 11.143],
    [4, 0.975, 0.484],
    [10, 0.05, 18.307],
    [10, 0.95, 3.94],
    [100, 0.01, 135.807],
  ])("gives at %i degrees of freedom and tail %f the value %f", (dof, tail, printed) => {
    expect(Math.abs(chiSquareQuantile(tail, dof) - printed)).toBeLessThanOrEqual(0.000_501);
  });
});

describe("five shots at one setting: 14.02, 14.25, 13.88, 14.31 and 14.11 m/s", () => {
  // Mean and s: JCGM 100:2008, 4.2.1 to 4.2.3. Intervals with the t of table G.2 and the chi-square of the
  // NIST handbook; digits by tools/reference/uncertainty.py.
  const shots = [14.02, 14.25, 13.88, 14.31, 14.11].map((value) => ({ value, ownU: 0.05, commonU: 0.04 }));
  const five = repeatability(shots)!;

  it("have the mean 14.114, s = 0.17357995 and s/√n = 0.07762731", () => {
    expect(five.mean).toBeCloseTo(14.114, 12);
    expect(Math.abs(five.s - 0.17357995)).toBeLessThan(6e-9);
    expect(Math.abs(five.meanU - 0.07762731)).toBeLessThan(6e-9);
  });

  it("put the mean between 13.8984720 and 14.3295280, and the next shot within ± 0.5279336 of it", () => {
    expect(Math.abs(five.meanInterval[0] - 13.898472)).toBeLessThan(6e-8);
    expect(Math.abs(five.meanInterval[1] - 14.329528)).toBeLessThan(6e-8);
    expect(Math.abs(five.nextHalfWidth - 0.5279336)).toBeLessThan(6e-8);
  });

  it("put the standard deviation between 0.1039975 and 0.4987917", () => {
    expect(Math.abs(five.sigmaInterval[0] - 0.1039975)).toBeLessThan(6e-8);
    expect(Math.abs(five.sigmaInterval[1] - 0.4987917)).toBeLessThan(6e-8);
  });

  it("owe (0.05/0.17357995)² = 8.297 % of their variance to measuring, and keep 0.04 m/s in common however many there are", () => {
    expect(five.measurementShare).toBeCloseTo(0.0025 / 0.03013, 12);
    expect(five.launcherS).toBeCloseTo(Math.sqrt(0.03013 - 0.0025), 12);
    expect(five.commonU).toBeCloseTo(0.04, 15);
    const hundred = repeatability(Array.from({ length: 20 }, () => shots).flat())!;
    expect(hundred.n).toBe(100);
    expect(hundred.meanU).toBeLessThan(five.meanU / 4);
    expect(hundred.commonU).toBeCloseTo(0.04, 14);
  });
});
