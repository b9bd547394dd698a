import { describe, expect, it } from "vitest";
import type { FitProblem } from "../../../src/shared/numeric/fit-problem.ts";
import { levenbergMarquardt } from "../../../src/shared/numeric/levenberg-marquardt.ts";

/** Rosenbrock's valley as residuals 10 (y - x²), 1 - x: minimum 0 at (1, 1). Comput. J. 3:175 (1960). */
const valley: FitProblem = {
  count: 2,
  start: [-1.2, 1],
  typical: [1, 1],
  residuals: ([x, y], out) => {
    out[0] = 10 * (y! - x! ** 2);
    out[1] = 1 - x!;
  },
};

/** NIST StRD "Misra1a" (lower difficulty): y = b1 (1 - exp(-b2 x)), certified to 11 digits. */
const MISRA_Y = [
  10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.4, 75.47, 81.78,
];
const MISRA_X = [77.6, 114.9, 141.1, 190.8, 239.9, 289, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1, 760];
const misra = (start: readonly number[]): FitProblem => ({
  count: MISRA_X.length,
  start,
  typical: start,
  residuals: ([b1, b2], out) => {
    MISRA_X.forEach((x, i) => {
      out[i] = b1! * (1 - Math.exp(-b2! * x)) - MISRA_Y[i]!;
    });
  },
});

const valleySlopes: NonNullable<FitProblem["jacobian"]> = ([x], out) => {
  out.set([-20 * x!, 10, -1, 0]);
};

function counted(problem: FitProblem) {
  let jacobians = 0;
  const fit = levenbergMarquardt({
    ...problem,
    jacobian(p, out) {
      jacobians++;
      problem.jacobian!(p, out);
    },
  });
  return { fit, jacobians };
}

describe("levenbergMarquardt", () => {
  it("walks Rosenbrock's valley to (1, 1) and says that it converged", () => {
    const fit = levenbergMarquardt(valley);
    expect(fit.converged).toBe(true);
    expect(fit.parameters[0]).toBeCloseTo(1, 10);
    expect(fit.parameters[1]).toBeCloseTo(1, 10);
    // J = [[-20, 10], [-1, 0]] there: (JᵀJ)⁻¹ = [[1, 2], [2, 4.01]]
    for (const [i, value] of [1, 2, 2, 4.01].entries()) expect(fit.covariance![i]).toBeCloseTo(value, 7);
  });

  it("gives NIST's certified values and standard deviations for Misra1a from both starts", () => {
    for (const start of [
      [500, 0.0001],
      [250, 0.0005],
    ]) {
      const fit = levenbergMarquardt(misra(start));
      expect(fit.converged).toBe(true);
      expect(Math.abs(fit.parameters[0]! / 238.94212918 - 1)).toBeLessThan(1e-9);
      expect(Math.abs(fit.parameters[1]! / 5.5015643181e-4 - 1)).toBeLessThan(1e-9);
      expect(Math.abs(fit.sumOfSquares / 0.12455138894 - 1)).toBeLessThan(1e-9);
      const s = Math.sqrt(fit.sumOfSquares / fit.degreesOfFreedom);
      expect(Math.abs((s * Math.sqrt(fit.covariance![0]!)) / 2.707007558 - 1)).toBeLessThan(1e-7);
      expect(Math.abs((s * Math.sqrt(fit.covariance![3]!)) / 7.2668688436e-6 - 1)).toBeLessThan(1e-7);
    }
  });

  it("corrects its steps where asked: as near, by far fewer Jacobians", () => {
    const plain = counted({ ...valley, jacobian: valleySlopes });
    const corrected = counted({ ...valley, jacobian: valleySlopes, corrections: 6 });
    expect(corrected.fit.converged).toBe(true);
    expect(corrected.fit.parameters[0]).toBeCloseTo(1, 10);
    expect(corrected.fit.parameters[1]).toBeCloseTo(1, 10);
    expect(corrected.jacobians).toBeLessThan(0.5 * plain.jacobians);
    const hard = levenbergMarquardt({ ...misra([500, 0.0001]), corrections: 6 });
    expect(hard.converged).toBe(true);
    expect(Math.abs(hard.parameters[0]! / 238.94212918 - 1)).toBeLessThan(1e-9);
    expect(Math.abs(hard.parameters[1]! / 5.5015643181e-4 - 1)).toBeLessThan(1e-9);
  });

  it("shortens corrected steps that go to and fro: residuals x + 1 and λx² + x - 1, whose plain steps are λ x", () => {
    // By hand: the slope is 0 at x = 0, and a Gauss-Newton step from x leads to λ x + O(x²).
    const lambda = -0.97;
    const fit = counted({
      count: 2,
      start: [0.1],
      typical: [1],
      firstDamping: 1e-9,
      corrections: 6,
      enough: 1e-12,
      residuals: ([x], out) => {
        out[0] = x! + 1;
        out[1] = lambda * x! ** 2 + x! - 1;
      },
      jacobian: ([x], out) => {
        out[0] = 1;
        out[1] = 2 * lambda * x! + 1;
      },
    });
    expect(fit.fit.converged).toBe(true);
    expect(Math.abs(fit.fit.parameters[0]!)).toBeLessThan(1e-5);
    expect(fit.jacobians).toBeLessThan(10); // (ln 1e-4)/(ln 0.97) is 300
  });

  it("turns back from places where the model is not finite", () => {
    const fit = levenbergMarquardt({
      count: 1,
      start: [4],
      typical: [1],
      residuals: ([x], out) => {
        out[0] = Math.log(x!) + 3;
      },
    });
    expect(fit.converged).toBe(true);
    expect(fit.parameters[0]).toBeCloseTo(Math.exp(-3), 10);
  });

  it("owns up when steps run out, when the start is not finite and when two parameters do the same", () => {
    expect(levenbergMarquardt({ ...valley, mostSteps: 3 })).toMatchObject({
      converged: false,
      end: "too-many-steps",
    });
    expect(levenbergMarquardt({ ...valley, start: [Number.NaN, 0] })).toMatchObject({
      converged: false,
      end: "not-finite",
      covariance: null,
    });
    const same = levenbergMarquardt({
      count: 2,
      start: [5, 1],
      typical: [1, 1],
      residuals: ([x, y], out) => {
        out[0] = x! + y! - 3;
        out[1] = 2 * (x! + y!) - 5;
      },
    });
    expect(same).toMatchObject({ converged: false, covariance: null });
  });

  it("ends where its problem leaves it, at the place a step has led to and with no Jacobian taken there", () => {
    const whole = counted({ ...valley, jacobian: valleySlopes });
    const places: number[] = [];
    const left = counted({
      ...valley,
      jacobian: valleySlopes,
      leaves: ([x], sum, steps) => {
        places.push(x!);
        expect(sum).toBeLessThan(24.2); // at the start
        expect(steps).toBeGreaterThanOrEqual(places.length);
        return places.length === 3;
      },
    });
    expect(left.fit).toMatchObject({ converged: false, end: "left", covariance: null });
    expect(left.fit.parameters[0]).toBe(places[2]);
    expect(left.jacobians).toBe(3); // at the start and after two steps
    const never = counted({ ...valley, jacobian: valleySlopes, leaves: () => false });
    expect(never).toEqual(whole);
  });

  it("throws RangeError on fewer residuals than parameters", () => {
    expect(() => levenbergMarquardt({ ...valley, count: 1 })).toThrow(/m >= n > 0.*got 1, 2, 2/);
  });
});
