import { describe, expect, it } from "vitest";
import { roundSettings } from "../../../src/shared/next-shot/card-settings.ts";

const PSI = 6894.757293168361;

describe("roundSettings", () => {
  it("gives round bars between two pressures, ends included where they are round themselves", () => {
    expect(roundSettings(1e5, 6e5, "Pa", "SI", 12)).toEqual(
      [1, 1.5, 2, 2.5, 3, 3.5, 4, 4.5, 5, 5.5, 6].map((bar) => bar * 1e5),
    );
    expect(roundSettings(1.3e5, 5.9e5, "Pa", "SI", 6)).toEqual([2e5, 3e5, 4e5, 5e5]);
  });

  it("gives round psi to somebody who reads psi", () => {
    const psi = roundSettings(14 * PSI, 102 * PSI, "Pa", "field", 12).map((pa) => pa / PSI);
    expect(psi.map((one) => Math.round(one * 1e6) / 1e6)).toEqual([20, 30, 40, 50, 60, 70, 80, 90, 100]);
  });

  it("never gives more than it may, nor anything outside, whatever the range", () => {
    for (let i = 1; i < 200; i++) {
      const [low, high] = [0.013 * i, 0.013 * i + 0.0071 * ((i * 37) % 91) + 0.01];
      const found = roundSettings(low, high, "m", "SI", 9);
      expect(found.length).toBeLessThanOrEqual(9);
      expect(found.length).toBeGreaterThanOrEqual(2);
      expect(found.every((x) => x >= low && x <= high)).toBe(true);
    }
  });

  it("gives nothing where there is no range", () => {
    expect(roundSettings(2, 2, "m", "SI", 9)).toEqual([]);
  });
});
