import { describe, expect, it } from "vitest";
import type { TunableModel } from "../../../src/shared/launchers/tunable-model.ts";
import { curveAt } from "../../../src/shared/tune/curve-at.ts";

/** A push of 0.1 s from rest whose acceleration falls with the root of one more than its form. */
const MODEL: TunableModel = {
  inputs: [
    { name: "friction", of: "launcher", value: 1, u: 0.1 },
    { name: "leak", of: "form", value: 0, u: 0.1, low: 0 },
  ],
  predict([friction, leak]) {
    if (leak! < 0) return null;
    const a = 100 / (friction! * Math.sqrt(1 + leak!));
    return {
      exitS: 0.1,
      exitTravelM: (a * 0.01) / 2,
      exitSpeedMPerS: a * 0.1,
      slowingMPerS2: 3,
      at: (t) => ({ travelM: (a * t * t) / 2, speedMPerS: a * t }),
    };
  },
};
const travel = (leak: number) => curveAt(MODEL, [1, leak])!.at(0.08).travelM;

describe("a model beyond the limit of what nobody stated", () => {
  it("is the model itself on this side of it", () => {
    expect(travel(0.2)).toBe(MODEL.predict([1, 0.2])!.at(0.08).travelM);
    expect(curveAt(MODEL, [1, 0])).toMatchObject({ exitSpeedMPerS: 10 });
  });

  it("goes on as its image in the point at the limit, with the same slope", () => {
    expect(travel(-0.2)).toBeCloseTo(2 * travel(0) - travel(0.2), 12);
    const h = 1e-4;
    expect((travel(0) - travel(-h)) / h).toBeCloseTo((travel(h) - travel(0)) / h, 9);
    const beyond = curveAt(MODEL, [1, -0.2])!;
    expect(beyond.exitSpeedMPerS).toBeCloseTo(20 - MODEL.predict([1, 0.2])!.exitSpeedMPerS, 12);
    expect(beyond.at(beyond.exitS)).toEqual({
      travelM: expect.closeTo(beyond.exitTravelM, 12),
      speedMPerS: expect.closeTo(beyond.exitSpeedMPerS, 12),
    });
    expect(beyond.at(-1)).toEqual({ travelM: 0, speedMPerS: 0 });
  });

  it("has no launch where the model has none at the limit", () => {
    expect(curveAt({ ...MODEL, predict: () => null }, [1, -0.2])).toBeNull();
  });
});
