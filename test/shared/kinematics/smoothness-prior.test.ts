import { describe, expect, it } from "vitest";
import { motionBasis } from "../../../src/shared/kinematics/motion-basis.ts";
import { addPrior, heldRuns, type Smoothness } from "../../../src/shared/kinematics/smoothness-prior.ts";

const BASIS = motionBasis({
  atRest: true,
  startS: 0.01,
  releaseS: 0.1,
  endS: 0.16,
  pushIntervals: 22,
  flightIntervals: 5,
  crowding: 9,
});
const SMOOTHNESS: Smoothness = { push: [2, 3, 4], flight: [5, 6], onset: [7, 8], rise: [9, 10] };
const PUSH_S = heldRuns(BASIS, SMOOTHNESS)[0]!.runs[0]!;

describe("heldRuns", () => {
  it("holds nothing against a push that rises evenly in time, however the knots crowd", () => {
    PUSH_S.weights.forEach((row, i) => {
      const bend = row.reduce((sum, w, j) => sum + w * (3 + 40 * BASIS.pushKnotsS[i + j]!), 0);
      expect(Math.abs(bend)).toBeLessThan(1e-12);
    });
  });

  it("holds the first bends less than the later ones, which all count in full", () => {
    const size = (row: readonly number[]) => Math.abs(row[1]!);
    const sizes = PUSH_S.weights.map(size);
    for (let i = 1; i < 11; i++) expect(sizes[i]!).toBeGreaterThan(sizes[i - 1]!);
    expect(sizes[0]! / sizes[20]!).toBeCloseTo(0.1, 12);
    for (let i = 10; i < 21; i++) expect(sizes[i]!).toBeCloseTo(2, 12);
  });
});

describe("addPrior", () => {
  it("weighs a steady push by its onset alone, and a steady rise by onset and rise", () => {
    const n = 3 * BASIS.size;
    const a = new Float64Array(n * n);
    addPrior(a, BASIS, SMOOTHNESS);
    const squared = (push: (timeS: number) => number) => {
      const c = new Float64Array(n);
      BASIS.pushKnotsS.forEach((timeS, i) => {
        c[BASIS.push.first + i] = push(timeS);
      });
      let sum = 0;
      for (let i = 0; i < n; i++) {
        for (let j = 0; j <= i; j++) sum += (i === j ? 1 : 2) * a[i * n + j]! * c[i]! * c[j]!;
      }
      return sum;
    };
    expect(squared(() => 2)).toBeCloseTo(7 * 4, 9);
    const first = BASIS.pushKnotsS[1]! - BASIS.startS;
    expect(squared((t) => (t - BASIS.startS) / first)).toBeCloseTo(9, 9);
  });

  it("gives a log determinant that grows by one for each held difference when a precision grows e times", () => {
    const log = (smoothness: Smoothness) =>
      addPrior(new Float64Array(9 * BASIS.size ** 2), BASIS, smoothness);
    const more = log({ ...SMOOTHNESS, push: [2 * Math.E, 3, 4] }) - log(SMOOTHNESS);
    expect(more).toBeCloseTo(21, 9);
    expect(log({ ...SMOOTHNESS, rise: [9 * Math.E, 10] }) - log(SMOOTHNESS)).toBeCloseTo(2, 9);
  });
});
