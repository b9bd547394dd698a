import { describe, expect, it } from "vitest";
import { type FlownPlace, pathBend } from "../../../src/shared/clock/path-bend.ts";
import { STANDARD_GRAVITY as G } from "../../../src/shared/quantity/gravity.ts";
import { unwrap } from "../../../src/shared/quantity/result.ts";

/** A flight from the origin at 12 m/s, with a constant acceleration of its own beside gravity. */
function flight(angleRad: number, extra: readonly [number, number] = [0, 0], frames = 21): FlownPlace[] {
  return Array.from({ length: frames }, (_, k) => {
    const t = 0.004 * k;
    const [vx, vy] = [12 * Math.cos(angleRad), 12 * Math.sin(angleRad)];
    return {
      timeS: 0.3 + t,
      x: vx * t + (extra[0] * t ** 2) / 2,
      y: vy * t + ((extra[1] - G) * t ** 2) / 2,
      u: 0.001,
    };
  });
}

describe("pathBend", () => {
  it("is 1 for a stone, level, climbing or falling, and either way", () => {
    for (const angle of [0, 0.5, -0.8, Math.PI - 0.4]) {
      expect(unwrap(pathBend(flight(angle))).value, `${angle}`).toBeCloseTo(1, 9);
    }
  });

  it("leaves out what acts along the path, and has all of what acts across it", () => {
    const angle = 0.35 - (G * 0.04 * Math.cos(0.35)) / 12; // halfway through the flight, to the first order
    const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
    const dragged = unwrap(pathBend(flight(0.35, [-6 * cos, -6 * sin]))).value;
    expect(dragged).toBeCloseTo(1, 2);
    const lifted = unwrap(pathBend(flight(0.35, [-6 * sin, 6 * cos]))).value;
    expect(lifted).toBeCloseTo(1 - 6 / (G * cos), 2);
  });

  it("goes with the lengths and with the square of the rate", () => {
    const places = flight(0.35);
    const long = places.map((one) => ({ ...one, x: 1.1 * one.x, y: 1.1 * one.y }));
    expect(unwrap(pathBend(long)).value).toBeCloseTo(1.1, 9);
    const fast = places.map((one) => ({ ...one, timeS: one.timeS / 1.1 }));
    expect(unwrap(pathBend(fast)).value).toBeCloseTo(1.21, 9);
  });

  it("states the u of the even case: sqrt(720/(N (N² - 1)(N² - 4))) u/dt² over gravity's part", () => {
    const n = 21;
    const u = (Math.sqrt(720 / (n * (n ** 2 - 1) * (n ** 2 - 4))) * 0.001) / 0.004 ** 2;
    expect(unwrap(pathBend(flight(0))).u).toBeCloseTo(u / G, 2);
  });

  it("refuses a flight of seven places and one steeper than 60°", () => {
    expect(pathBend(flight(0.35, [0, 0], 7))).toMatchObject({ code: "too-short", numbers: { needed: 8 } });
    expect(pathBend(flight(1.2))).toMatchObject({ code: "too-steep" });
    expect(pathBend(flight(1)).ok).toBe(true);
  });
});
