import { describe, expect, it } from "vitest";
import { motionBasis } from "../../../src/shared/kinematics/motion-basis.ts";

const INPUT = {
  atRest: true,
  startS: 0.01,
  releaseS: 0.1,
  endS: 0.16,
  pushIntervals: 5,
  flightIntervals: 3,
  crowding: 6,
  loosest: 10,
} as const;
const TIMES = Array.from({ length: 90 }, (_, i) => 0.0105 + i * 0.00163).filter(
  (t) => Math.abs(t - 0.1) > 1e-3,
);

describe("motionBasis", () => {
  it("is at rest before the start: only the offset is not zero", () => {
    const row = motionBasis(INPUT).row(0.0099, 0);
    expect([...row]).toEqual([1, ...Array(10).fill(0)]);
  });

  it("has accelerations that sum to one everywhere: equal coefficients give a constant acceleration", () => {
    const basis = motionBasis(INPUT);
    for (const t of TIMES) expect(basis.row(t, 2).reduce((sum, x) => sum + x, 0)).toBeCloseTo(1, 12);
  });

  it("gives x = a t²/2 and v = a t for a constant acceleration, through release", () => {
    const basis = motionBasis(INPUT);
    for (const t of TIMES) {
      const since = t - INPUT.startS;
      expect(basis.row(t, 1).reduce((sum, x) => sum + x, 0)).toBeCloseTo(since, 12);
      expect(basis.row(t, 0).reduce((sum, x) => sum + x, 0) - 1).toBeCloseTo((since * since) / 2, 12);
    }
  });

  it("has each derivative as the slope of the one before", () => {
    const basis = motionBasis({ ...INPUT, atRest: false });
    const h = 1e-6;
    for (const t of TIMES) {
      for (const d of [0, 1] as const) {
        const [after, before, slope] = [
          basis.row(t + h, d),
          basis.row(t - h, d),
          basis.row(t, d === 0 ? 1 : 2),
        ];
        after.forEach((x, i) => {
          // a knot within h bends the acceleration: at most h times the steepest hat
          expect((x - before[i]!) / (2 * h)).toBeCloseTo(slope[i]!, d === 0 ? 7 : 3);
        });
      }
    }
  });

  it("crowds push knots at the start by the ratio asked for", () => {
    const knots = motionBasis(INPUT).pushKnotsS;
    expect((knots[5]! - knots[4]!) / (knots[1]! - knots[0]!)).toBeCloseTo(6, 9);
    expect([knots[0], knots[5]]).toEqual([0.01, 0.1]);
  });

  it("throws RangeError on times out of order, with what it got", () => {
    expect(() => motionBasis({ ...INPUT, releaseS: 0.2 })).toThrow(/start < release < end.*0\.2/);
  });
});
