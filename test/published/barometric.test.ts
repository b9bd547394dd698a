import { describe, expect, it } from "vitest";
import { heightInDaysAir } from "../../src/shared/launch/vertical/barometric.ts";
import {
  geopotentialHeight,
  heightAtPressure,
  pressureAtHeight,
  standardDensity,
} from "../reference/standard-atmosphere.ts";

/*
 * ISO 2533:1975, standard atmosphere: T0 = 288.15 K, p0 = 101325 Pa, 6.5 K/km, R = 287.05287 J/(kg K);
 * figures: tools/reference/rocket.py.
 */

describe("barometric height (ISO 2533:1975)", () => {
  it.each([
    [-500, 107477.5112],
    [0, 101325],
    [50, 100725.7825],
    [100, 100129.4377],
    [120, 99891.7018],
    [500, 95460.8353],
    [1000, 89874.5629],
    [2000, 79495.2019],
    [11000, 22632.0401],
  ])("pressureAtHeight of %d m is %d Pa, and heightAtPressure leads back", (height, pressure) => {
    expect(pressureAtHeight(height)).toBeCloseTo(pressure, 4);
    expect(heightAtPressure(pressureAtHeight(height))).toBeCloseTo(height, 7);
  });
  it("1 Pa is 0.08324 m at the ground", () => {
    expect(heightAtPressure(101_324)).toBeCloseTo(0.08324, 5);
  });
  it("standardDensity of 1000 m is 1.11164 kg/m³, 1.225 at the ground", () => {
    expect(standardDensity(1000)).toBeCloseTo(1.11164, 5);
    expect(standardDensity(0)).toBeCloseTo(1.225, 5);
  });
  it("geopotentialHeight of 1000 m is 999.84271 m", () => {
    expect(geopotentialHeight(1000)).toBeCloseTo(999.84271, 5);
  });
  it("heightInDaysAir of a reading of 120 m is 126.2467 m at 30 °C and 113.7533 m at 0 °C", () => {
    expect(heightInDaysAir(120, 303.15)).toBeCloseTo(126.2467, 4);
    expect(heightInDaysAir(120, 273.15)).toBeCloseTo(113.7533, 4);
  });
  it("is what an altimeter taking the standard air makes of the day's pressure, on any ground", () => {
    for (const [pressurePa, temperatureK] of [
      [101_325, 303.15],
      [84_000, 268],
    ] as const) {
      const up = pressureAtHeight(143, { pressurePa, temperatureK });
      const reads = heightAtPressure(up, { pressurePa, temperatureK: 288.15 });
      expect(heightInDaysAir(reads, temperatureK)).toBeCloseTo(143, 9);
    }
  });
  it("throws RangeError above the standard's lapse, and on a pressure or temperature that is none", () => {
    expect(() => pressureAtHeight(11_001)).toThrow(/11001/);
    expect(() => heightAtPressure(0)).toThrow(RangeError);
    expect(() => heightInDaysAir(100, 0)).toThrow(/got 0/);
    expect(() => heightAtPressure(9e4, { pressurePa: -1, temperatureK: 288 })).toThrow(/-1 Pa/);
  });
});
