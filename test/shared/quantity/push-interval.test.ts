import { describe, expect, it } from "vitest";
import { pushInterval } from "../../../src/shared/quantity/push-interval.ts";

describe("pushInterval", () => {
  it("is 96 % of a steady push, whose mean acceleration it gives exactly", () => {
    const { firstS, lastS, pushS, meanMPerS2 } = pushInterval((t) => 150 * (t - 0.02), 0.02, 0.12);
    expect(firstS).toBeCloseTo(0.022, 12);
    expect(lastS).toBeCloseTo(0.118, 12);
    expect(pushS).toBeCloseTo(0.096, 12);
    expect(meanMPerS2).toBeCloseTo(150, 9);
  });

  it("does not hang on where a push that begins and ends softly is said to begin and end", () => {
    // a half sine: v = V (1 - cos(pi t / T)) / 2
    const speed = (t: number) => (t <= 0 ? 0 : 7 * (1 - Math.cos(Math.PI * Math.min(1, t / 0.1))));
    const exact = (share: number) => (0.1 * Math.acos(1 - 2 * share)) / Math.PI;
    for (const [from, to] of [
      [0, 0.1],
      [-0.01, 0.1],
      [-0.01, 0.104],
    ] as const) {
      const { firstS, lastS } = pushInterval(speed, from, to);
      expect(firstS).toBeCloseTo(exact(0.02), 9);
      expect(lastS).toBeCloseTo(exact(0.98), 9);
    }
  });

  it("counts from the last time a speed is passed where a push is braked on the way", () => {
    const speed = (t: number) => (t < 0.02 ? 100 * t : t < 0.04 ? 2 - 100 * (t - 0.02) : 300 * (t - 0.04));
    expect(pushInterval(speed, 0, 0.09).firstS).toBeCloseTo(0.041, 9);
  });
});
