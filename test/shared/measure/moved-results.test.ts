import { describe, expect, it } from "vitest";
import { movedResults, STEPS_IN_U } from "../../../src/shared/measure/moved-results.ts";

/** A result that goes as 3 + 2 z + z²/2, where it can be had at all. */
const speedAt = (from: number, to: number) => (z: number) =>
  z < from || z > to ? null : { releaseSpeed: 3 + 2 * z + z ** 2 / 2 };
const NOMINAL = { releaseSpeed: 3 };

describe("movedResults", () => {
  it("gives both differences of the worked case: 5.5 and 1.5 about 3", () => {
    expect(movedResults(speedAt(-1, 1), NOMINAL)).toEqual({
      first: { releaseSpeed: 2 },
      second: { releaseSpeed: 1 },
      reached: 1,
    });
  });

  it("moves less far, and takes the change in proportion, where a whole u ends the measurement", () => {
    expect(movedResults(speedAt(-0.3, 9), NOMINAL)).toEqual({
      first: { releaseSpeed: 2 },
      second: { releaseSpeed: 1 },
      reached: 0.25,
    });
  });

  it("moves to one side where the other ends at once", () => {
    expect(movedResults(speedAt(0, 0.6), NOMINAL)).toEqual({
      first: { releaseSpeed: 2.25 }, // (3 + 1 + 1/8 - 3) / 0.5
      second: { releaseSpeed: 0 },
      reached: 0.5,
    });
    expect(movedResults(speedAt(-1, 0), NOMINAL)?.first.releaseSpeed).toBe(1.5);
  });

  it("has no result only where a 64th of u is too much on either side", () => {
    expect(movedResults(speedAt(-1 / 64, 0), NOMINAL)?.reached).toBe(1 / 64);
    expect(movedResults(speedAt(-1 / 65, 1 / 65), NOMINAL)).toBeNull();
    expect(STEPS_IN_U).toHaveLength(14);
    expect(STEPS_IN_U.slice(0, 3)).toEqual([1, -1, 0.5]);
  });
});
