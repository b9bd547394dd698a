import { describe, expect, it } from "vitest";
import { motionBasis } from "../../../src/shared/kinematics/motion-basis.ts";
import { addPrior, heldRows, type Smoothness } from "../../../src/shared/kinematics/smoothness-prior.ts";
import { choleskyInPlace } from "../../../src/shared/numeric/cholesky.ts";

const BASIS = motionBasis({
  atRest: true,
  startS: 0.01,
  releaseS: 0.1,
  endS: 0.16,
  pushIntervals: 22,
  flightIntervals: 5,
  crowding: 9,
  loosest: 10,
});
const SMOOTHNESS: Smoothness = {
  push: [2, 3, 4],
  flight: [5, 6, 7],
  onset: [7, 8, 9],
  rise: [9, 10, 11],
  end: 12,
  looseEnd: 1,
  air: { mean: -3, sd: 6 },
  arm: 0,
};
const N = 3 * BASIS.size;
const PUSH_S = heldRows(BASIS, SMOOTHNESS)[0]!.rows.map(({ weights }) => weights);

/** What the prior makes of coefficients, less the constant of nothing: their weighted sum of squares. */
function squared(c: Float64Array, smoothness: Smoothness): number {
  const a = new Float64Array(N * N);
  const { moment, constant } = addPrior(a, BASIS, smoothness, 0.4);
  let sum = constant;
  for (let i = 0; i < N; i++) {
    sum -= 2 * moment[i]! * c[i]!;
    for (let j = 0; j <= i; j++) sum += (i === j ? 1 : 2) * a[i * N + j]! * c[i]! * c[j]!;
  }
  return sum;
}

/** Coefficients of a push along, and what flight's prior expects of the air. */
function coefficients(push: (timeS: number) => number): Float64Array {
  const c = new Float64Array(N);
  BASIS.pushKnotsS.forEach((timeS, i) => {
    c[BASIS.push.first + i] = push(timeS);
  });
  for (let i = 0; i < BASIS.flight.count; i++) c[BASIS.flight.first + i] = -3;
  return c;
}
/** The jump at release that is left over what gravity makes. */
const jump = (last: number) => -3 - last - 9.80665 * Math.sin(0.4);

describe("heldRows", () => {
  it("holds nothing against a push that rises evenly in time, however the knots crowd", () => {
    PUSH_S.forEach((row, i) => {
      const bend = row.reduce((sum, w, j) => sum + w * (3 + 40 * BASIS.pushKnotsS[i + j]!), 0);
      expect(Math.abs(bend)).toBeLessThan(1e-12);
    });
  });

  it("holds the first bends less than the later ones, which all count in full", () => {
    const size = (row: readonly number[]) => Math.abs(row[1]!);
    const sizes = PUSH_S.map(size);
    for (let i = 1; i < 11; i++) expect(sizes[i]!).toBeGreaterThan(sizes[i - 1]!);
    expect(sizes[0]! / sizes[20]!).toBeCloseTo(0.1, 12);
    for (let i = 10; i < 21; i++) expect(sizes[i]!).toBeCloseTo(2, 12);
  });
});

describe("addPrior", () => {
  it("weighs a steady push by onset and end alone, and a steady rise by rise and end", () => {
    expect(
      squared(
        coefficients(() => 2),
        SMOOTHNESS,
      ),
    ).toBeCloseTo(7 * 4 + 12 * jump(2) ** 2, 8);
    const first = BASIS.pushKnotsS[1]! - BASIS.startS;
    const rising = (t: number) => (t - BASIS.startS) / first;
    const last = rising(0.1);
    expect(squared(coefficients(rising), SMOOTHNESS)).toBeCloseTo(9 + 12 * jump(last) ** 2, 6);
  });

  it("finds nothing in a pitch that follows the push by its arm", () => {
    const c = coefficients((t) => 1e5 * t * t);
    const without = squared(c, SMOOTHNESS);
    for (let i = 0; i < BASIS.push.count; i++) {
      c[2 * BASIS.size + BASIS.push.first + i] = 0.05 * c[BASIS.push.first + i]!;
    }
    expect(squared(c, { ...SMOOTHNESS, arm: 0.05 })).toBeCloseTo(without, 4);
    expect(squared(c, SMOOTHNESS)).toBeGreaterThan(without + 1);
  });

  it("gives a log determinant that grows by one for each held row when a precision grows e times", () => {
    const log = (smoothness: Smoothness) =>
      addPrior(new Float64Array(N * N), BASIS, smoothness, 0.4).logPrior;
    expect(log({ ...SMOOTHNESS, push: [2 * Math.E, 3, 4] }) - log(SMOOTHNESS)).toBeCloseTo(21, 9);
    expect(log({ ...SMOOTHNESS, flight: [5, 6, 7 * Math.E] }) - log(SMOOTHNESS)).toBeCloseTo(5, 9);
    expect(log({ ...SMOOTHNESS, rise: [9 * Math.E, 10, 11] }) - log(SMOOTHNESS)).toBeCloseTo(1, 9);
    expect(log({ ...SMOOTHNESS, end: 12 * Math.E }) - log(SMOOTHNESS)).toBeCloseTo(1, 9);
  });

  it("gives the log determinant of the prior itself, but for the flight's level, on any knots", () => {
    // The push alone, whose rows are a triangle: twice the sum of the logarithms of its Cholesky diagonal.
    const logs = [1, 9].map((crowding) => {
      const basis = motionBasis({
        atRest: true,
        startS: 0.01,
        releaseS: 0.1,
        endS: 0.16,
        pushIntervals: 12,
        flightIntervals: 5,
        crowding,
        loosest: crowding,
      });
      const n = 3 * basis.size;
      const a = new Float64Array(n * n);
      const { logPrior } = addPrior(a, basis, { ...SMOOTHNESS, end: 1e-12 }, 0.4);
      const block = new Float64Array(basis.push.count ** 2);
      for (let i = 0; i < basis.push.count; i++) {
        for (let j = 0; j <= i; j++) {
          block[i * basis.push.count + j] = a[(basis.push.first + i) * n + basis.push.first + j]!;
        }
      }
      return { logPrior, logDet: choleskyInPlace(block, basis.push.count)! };
    });
    const [even, crowded] = logs as [(typeof logs)[0], (typeof logs)[0]];
    // s, n and pitch have the same rows
    expect(crowded.logPrior - even.logPrior).toBeCloseTo(3 * (crowded.logDet - even.logDet), 6);
  });
});
