import { describe, expect, it } from "vitest";
import { flyAfterRelease } from "../../../src/shared/launch/flight.ts";
import { flyOnWing, highestPlace } from "../../../src/shared/launch/flight-after.ts";
import { STANDARD_GRAVITY as G } from "../../../src/shared/quantity/gravity.ts";
import fc from "../../support/drawn-inputs.ts";

const BODY = {
  massKg: 1.2,
  speedMPerS: 14,
  angleRad: 0.2,
  airDensity: 1.2,
  headwindMPerS: 0,
  dragAreaM2: 0.02,
};

/** Any launch a builder might film. */
const launches = fc.record({
  massKg: fc.double({ min: 0.1, max: 5, noNaN: true }),
  speedMPerS: fc.double({ min: 1, max: 40, noNaN: true }),
  angleRad: fc.double({ min: -0.5, max: 1.5, noNaN: true }),
  airDensity: fc.double({ min: 0.9, max: 1.3, noNaN: true }),
  headwindMPerS: fc.double({ min: -4, max: 8, noNaN: true }),
  dragAreaM2: fc.double({ min: 0, max: 0.1, noNaN: true }),
  greatestLiftAreaM2: fc.double({ min: 0, max: 0.6, noNaN: true }),
});

describe("flyOnWing", () => {
  it("without a wing is the flight of a body with drag", () => {
    const [a] = flyOnWing({ ...BODY, greatestLiftAreaM2: 0 }, [0.9]);
    const [b] = flyAfterRelease({ ...BODY, liftAreaM2: 0 }, [0.9]);
    expect(a!.x).toBeCloseTo(b!.x, 8);
    expect(a!.y).toBeCloseTo(b!.y, 8);
  });
  it("below stall speed is flight at the greatest lift", () => {
    const slow = { ...BODY, speedMPerS: 5, angleRad: 0 };
    const [a] = flyOnWing({ ...slow, greatestLiftAreaM2: 0.2 }, [0.3]);
    const [b] = flyAfterRelease({ ...slow, liftAreaM2: 0.2 }, [0.3]);
    expect(a!.y).toBeCloseTo(b!.y, 8);
  });
  it("keeps the energy when nothing drags, for lift does no work", () => {
    const inputs = { ...BODY, dragAreaM2: 0, greatestLiftAreaM2: 0.2 };
    for (const { y, vx, vy } of flyOnWing(inputs, [0.3, 1, 2.5])) {
      expect(0.5 * (vx ** 2 + vy ** 2) + G * y).toBeCloseTo(98, 7);
    }
  });
  it("is the same flight seen from the other side, and the same cut in two", () => {
    fc.assert(
      fc.property(launches, fc.double({ min: 0.05, max: 0.95, noNaN: true }), (inputs, share) => {
        const [, end] = flyOnWing(inputs, [share, 1]);
        const [mirrored] = flyOnWing(
          { ...inputs, angleRad: Math.PI - inputs.angleRad, headwindMPerS: -inputs.headwindMPerS },
          [1],
        );
        const size = Math.max(1, inputs.speedMPerS);
        expect(Math.abs(mirrored!.x + end!.x)).toBeLessThan(1e-6 * size);
        expect(Math.abs(mirrored!.y - end!.y)).toBeLessThan(1e-6 * size);
        // time shift: flown on from where it was, it comes to the same place
        const [middle] = flyOnWing(inputs, [share]);
        const speedMPerS = Math.hypot(middle!.vx, middle!.vy);
        const angleRad = Math.atan2(middle!.vy, middle!.vx);
        const [rest] = flyOnWing({ ...inputs, speedMPerS, angleRad }, [1 - share]);
        expect(Math.abs(middle!.y + rest!.y - end!.y)).toBeLessThan(1e-6 * size);
        expect(Math.abs(middle!.x + rest!.x - end!.x)).toBeLessThan(1e-6 * size);
      }),
      { seed: 21, numRuns: 60 },
    );
  });
  it("tends to the parabola as the drag vanishes", () => {
    const free = { ...BODY, greatestLiftAreaM2: 0 };
    const parabola = 14 * Math.sin(0.2) - G / 2;
    const off = (dragAreaM2: number) => Math.abs(flyOnWing({ ...free, dragAreaM2 }, [1])[0]!.y - parabola);
    expect(off(1e-4)).toBeLessThan(off(1e-2) / 50);
    expect(off(0)).toBeLessThan(1e-9);
  });
  it("throws RangeError on an impossible input or times out of order", () => {
    expect(() => flyOnWing({ ...BODY, massKg: 0, greatestLiftAreaM2: 0 }, [1])).toThrow(/massKg/);
    expect(() => flyOnWing({ ...BODY, greatestLiftAreaM2: 0 }, [1, 0.5])).toThrow(/got 0.5/);
  });
});

describe("highestPlace", () => {
  it("without air is that of the parabola", () => {
    const free = { ...BODY, dragAreaM2: 0 };
    const up = 14 * Math.sin(0.2);
    expect(highestPlace(free)).toEqual({
      heightM: expect.closeTo(up ** 2 / (2 * G), 8),
      timeS: expect.closeTo(up / G, 9),
    });
  });
  it("is the place of release on the way down", () => {
    expect(highestPlace({ ...BODY, angleRad: -0.1 })).toEqual({ heightM: 0, timeS: 0 });
  });
  it("says null of a body that still climbs after two minutes", () => {
    expect(highestPlace({ ...BODY, dragAreaM2: 0, speedMPerS: 2000, angleRad: Math.PI / 2 })).toBeNull();
  });
  it("throws RangeError on an impossible body", () => {
    expect(() => highestPlace({ ...BODY, dragAreaM2: -1 })).toThrow(/dragAreaM2 must be >= 0; got -1/);
  });
});
