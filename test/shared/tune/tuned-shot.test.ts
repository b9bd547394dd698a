import { describe, expect, it } from "vitest";
import type { ModelCurve } from "../../../src/shared/launchers/tunable-model.ts";
import { errorsThatMatter, modelAt, shotRows } from "../../../src/shared/tune/tuned-shot.ts";

type Track = Parameters<typeof shotRows>[0];

/** Three points by hand: two of the push, one 50 ms after release; a fourth later. Each has its own u. */
const POINTS = [
  { timeS: -0.02, travelM: 0.3, speedMPerS: 8, u: 0.001 },
  { timeS: 0, travelM: 0.5, speedMPerS: 12, u: 0.002 },
  { timeS: 0.05, travelM: 1.1, speedMPerS: 12, u: 0.004 },
  { timeS: 0.051, travelM: 1.11, speedMPerS: 12, u: 0.004 },
];
const scale = { key: "scale", travelM: [0.0003, 0.0005, 0.0011, 0.00111], timeS: [0, 0, 0, 0] };
const clock = { key: "clock", travelM: [0, 0, 0, 0], timeS: [1e-4, 0, -1e-4, -1e-4] };
const track = (common: readonly object[], points: readonly object[] = POINTS) =>
  ({ shotId: "shot-1", releaseS: 0, points, common }) as unknown as Track;

describe("the rows of a shot", () => {
  it("are its points up to 50 ms after release", () => {
    expect(shotRows(track([]), []).points).toEqual(POINTS.slice(0, 3));
  });

  it("are whitened by each point's u where nothing is common", () => {
    const white = shotRows(track([]), []).whiten(Float64Array.of(0.001, 0.001, 0.001));
    expect([...white]).toEqual([1, 0.5, 0.25].map((x) => expect.closeTo(x, 12)));
  });

  it("hold an error that is this shot's alone in their covariance: rᵀ C⁻¹ r by Sherman and Morrison", () => {
    const rows = shotRows(track([clock]), []);
    const r = [0.0012, -0.0007, 0.003];
    // What a clock error shifts a point by: travel less speed times the error of time.
    const w = [-8e-4, 0, 12e-4];
    const weighted = (a: readonly number[], b: readonly number[]) =>
      a.reduce((sum, x, i) => sum + (x * b[i]!) / POINTS[i]!.u ** 2, 0);
    const expected = weighted(r, r) - weighted(r, w) ** 2 / (1 + weighted(w, w));
    const white = rows.whiten(Float64Array.from(r));
    expect(white.reduce((sum, x) => sum + x * x, 0)).toBeCloseTo(expected, 9);
  });

  it("give an error that other shots share apart, for the points used, and not in the covariance", () => {
    const rows = shotRows(track([scale]), ["scale", "clock"]);
    expect(rows.shared).toEqual([
      { key: "scale", travelM: scale.travelM.slice(0, 3), timeS: [0, 0, 0] },
      null, // this shot has no part in it
    ]);
    const white = rows.whiten(Float64Array.of(0.001, 0.001, 0.001));
    expect([...white]).toEqual([1, 0.5, 0.25].map((x) => expect.closeTo(x, 12)));
  });

  it("leave out an error that is less than a thousandth of chi-square over the whole track", () => {
    // A shift of s at the first point alone brings (s/u)², 0.001 at s = 0.0316 u.
    const small = (s: number) => ({ key: "small", travelM: [s * 0.001, 0, 0, 1], timeS: [0, 0, 0, 0] });
    expect(errorsThatMatter(track([small(0.031)]))).toEqual([]);
    expect(errorsThatMatter(track([small(0.032)]))).toHaveLength(1);
  });

  it("throw RangeError where two points cannot be told from one", () => {
    const points = POINTS.map((one) => ({ ...one, u: 0 }));
    expect(() => shotRows(track([], points), [])).toThrow(/"shot-1" have no positive definite covariance/);
  });
});

describe("modelAt", () => {
  const curve: ModelCurve = {
    exitS: 0.1,
    exitTravelM: 0.6,
    exitSpeedMPerS: 12,
    slowingMPerS2: 2,
    at: (timeS) => ({ travelM: 60 * timeS ** 2, speedMPerS: 120 * timeS }),
  };

  it("rests before the start, follows the push, then flies straight, slowed by weight and air", () => {
    expect(modelAt(curve, 1, -0.01)).toEqual({ travelM: 0, speedMPerS: 0, flownS: 0 });
    expect(modelAt(curve, 1, 0.05)).toEqual({
      ...{ travelM: expect.closeTo(0.15, 12), speedMPerS: expect.closeTo(6, 12), flownS: 0 },
    });
    expect(modelAt(curve, 1, 0.1)).toEqual({
      ...{ travelM: expect.closeTo(0.6, 12), speedMPerS: expect.closeTo(12, 12), flownS: 0 },
    });
    const after = modelAt(curve, 1, 0.3);
    expect(after.travelM).toBeCloseTo(0.6 + 12 * 0.2 - (3 * 0.04) / 2, 12);
    expect(after.speedMPerS).toBeCloseTo(12 - 3 * 0.2, 12);
    expect(after.flownS).toBeCloseTo(0.2, 12);
  });
});
