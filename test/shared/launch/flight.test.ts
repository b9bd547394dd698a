import { describe, expect, it } from "vitest";
import { type FlightInputs, flyAfterRelease } from "../../../src/shared/launch/flight.ts";
import {
  airspeed,
  measuredStallSpeed,
  speedAtAirspeed,
  stallSpeed,
} from "../../../src/shared/launch/stall.ts";
import { STANDARD_GRAVITY as G } from "../../../src/shared/quantity/gravity.ts";

const WING: FlightInputs = {
  massKg: 1.2,
  speedMPerS: 14,
  angleRad: 0,
  airDensity: 1.2,
  headwindMPerS: 0,
  dragAreaM2: 0.02,
  liftAreaM2: 0.2,
};
describe("flyAfterRelease", () => {
  it("flies level while lift equals weight and nothing drags", () => {
    const liftAreaM2 = (2 * 1.2 * G) / (1.2 * 14 ** 2);
    const [state] = flyAfterRelease({ ...WING, dragAreaM2: 0, liftAreaM2 }, [1]);
    expect(state!.y).toBeCloseTo(0, 9);
    expect(state!.x).toBeCloseTo(14, 9);
  });
  it("keeps the energy ½v² + g y when only lift acts, which does no work", () => {
    for (const { y, vx, vy } of flyAfterRelease({ ...WING, dragAreaM2: 0 }, [0.2, 0.7, 1.5])) {
      expect(0.5 * (vx ** 2 + vy ** 2) + G * y).toBeCloseTo(98, 8);
    }
  });
  it("sees only speed relative to the air: wind and ground speed together leave the path in the air unchanged", () => {
    const still = flyAfterRelease(WING, [0.8])[0]!;
    const windy = flyAfterRelease({ ...WING, speedMPerS: 11, headwindMPerS: 3 }, [0.8])[0]!;
    expect(windy.y).toBeCloseTo(still.y, 9);
    expect(windy.x + 3 * 0.8).toBeCloseTo(still.x, 9);
  });
  it("throws RangeError naming an impossible input, or times out of order", () => {
    expect(() => flyAfterRelease({ ...WING, massKg: 0 }, [1])).toThrow(/massKg/);
    expect(() => flyAfterRelease({ ...WING, dragAreaM2: -1 }, [1])).toThrow(/dragAreaM2/);
    expect(() => flyAfterRelease({ ...WING, angleRad: Number.NaN }, [1])).toThrow(/angleRad/);
    expect(() => flyAfterRelease(WING, [1, 0.5])).toThrow(/increasing; got 0.5/);
  });
});

describe("stall", () => {
  const inputs = { massKg: 1.2, wingAreaM2: 0.25, liftCoefficientMax: 1.1, airDensity: 1.225 };
  it("measuredStallSpeed has half the relative u of its inputs together", () => {
    const got = measuredStallSpeed({
      massKg: { value: 1.2, u: 0.012 },
      wingAreaM2: { value: 0.25, u: 0.005 },
      liftCoefficientMax: { value: 1.1, u: 0.11 },
      airDensity: { value: 1.225, u: 0 },
      loadFactor: { value: 1, u: 0 },
    });
    expect(got.value).toBe(stallSpeed(inputs));
    expect(got.u / got.value).toBeCloseTo(0.5 * Math.hypot(0.01, 0.02, 0.1), 12);
  });
  it("airspeed adds a headwind to level flight and takes a tailwind off; across the path it adds in squares", () => {
    expect(airspeed(14.1194442, 0, -3)).toBeCloseTo(11.1194442, 12);
    expect(airspeed(12, 0, 2)).toBeCloseTo(14, 12);
    expect(airspeed(12, Math.PI / 2, 5)).toBeCloseTo(13, 12);
  });
  it("speedAtAirspeed gives back the speed an airspeed came from, in headwind and tailwind, and 0 where the headwind alone is enough", () => {
    for (const wind of [4, 0, -4]) {
      for (const angle of [0, 0.4, 1.2]) {
        expect(speedAtAirspeed(airspeed(11, angle, wind), angle, wind)).toBeCloseTo(11, 12);
      }
    }
    expect(speedAtAirspeed(8, 0.3, 9)).toBe(0);
    expect(speedAtAirspeed(8, 1.2, 9)).toBe(0);
  });
  it("stallSpeed throws RangeError naming the impossible input", () => {
    expect(() => stallSpeed({ ...inputs, wingAreaM2: 0 })).toThrow(/wingAreaM2/);
  });
});
