import { describe, expect, it } from "vitest";
import { shownScatter, type TimedPlace } from "../../../src/shared/follow/shown-scatter.ts";
import { createChance } from "../../../src/shared/quantity/chance.ts";

const track = (count: number, sd: number, seed = 3, timeOf = (k: number) => k): readonly TimedPlace[] => {
  const chance = createChance(seed);
  return Array.from({ length: count }, (_, k) => {
    const time = timeOf(k);
    return {
      x: 20 + 3 * time + 0.4 * time * time + sd * chance.normal(),
      y: 90 - time + 0.1 * time * time + sd * chance.normal(),
      time,
    };
  });
};
const mean = (values: readonly (number | null)[]) =>
  values.reduce<number>((sum, one) => sum + one! / values.length, 0);

describe("shownScatter", () => {
  it("is nothing on a parabola, even at uneven times", () => {
    for (const one of shownScatter(track(40, 0, 1, (k) => k + 0.3 * Math.sin(k))))
      expect(one).toBeLessThan(1e-9);
  });

  it("is the sd of the places' errors, whatever the steps in time, a tenth more for the larger of two", () => {
    for (const timeOf of [(k: number) => k, (k: number) => k / 240, (k: number) => k + 0.3 * Math.sin(k)]) {
      const seen = mean(shownScatter(track(400, 0.05, 7, timeOf)));
      expect(seen / 0.05).toBeGreaterThan(0.95);
      expect(seen / 0.05).toBeLessThan(1.3);
    }
  });

  it("follows a scatter that grows on the way", () => {
    const places = [...track(40, 0.01)].concat(track(80, 0.1).slice(40));
    const seen = shownScatter(places);
    expect(mean(seen.slice(5, 25))).toBeLessThan(0.02);
    expect(mean(seen.slice(55, 75))).toBeGreaterThan(0.07);
  });

  it("is not moved by one place that is far off, and knows nothing of a short run", () => {
    const places = track(60, 0.05).map((one, k) => (k === 30 ? { ...one, x: one.x + 9 } : one));
    expect(Math.max(...shownScatter(places).map((one) => one!))).toBeLessThan(0.12);
    expect(shownScatter(track(9, 0.05))).toEqual(Array.from({ length: 9 }, () => null));
    expect(shownScatter([])).toEqual([]);
  });
});
