import { describe, expect, it } from "vitest";
import { frameClock } from "../../../src/shared/clock/frame-clock.ts";
import { unwrap } from "../../../src/shared/quantity/result.ts";

const RATE = { kind: "capture-rate", captureRateHz: { value: 960, u: 2.4 } } as const;
const STAMPS = { kind: "timestamps", rateError: { value: 0, u: 1e-4 } } as const;

describe("frameClock", () => {
  it("counts by the capture rate whatever the file's timestamps say", () => {
    const clock = unwrap(frameClock(RATE, [0, 1 / 30, 2 / 30]));
    expect(clock.timeOf(48)).toBe(0.05);
    expect(clock.relativeU).toBeCloseTo(0.0025, 15);
  });

  it("makes a conformed clip 32 times too slow when its 30 a second are believed: 960 / 30", () => {
    const believed = unwrap(
      frameClock(
        STAMPS,
        Array.from({ length: 100 }, (_, k) => k / 30),
      ),
    );
    expect(believed.timeOf(90) / unwrap(frameClock(RATE, null)).timeOf(90)).toBeCloseTo(32, 12);
  });

  it("follows irregular timestamps, from the first frame, and straight lines between frames", () => {
    const clock = unwrap(frameClock(STAMPS, [0.5, 0.504, 0.51, 0.512]));
    expect(clock.timeOf(0)).toBe(0);
    expect(clock.timeOf(2)).toBeCloseTo(0.01, 15);
    expect(clock.timeOf(1.5)).toBeCloseTo(0.007, 15);
    expect(clock.timeOf(3)).toBeCloseTo(0.012, 15);
  });

  it("refuses timestamps it does not have, and throws outside the clip", () => {
    expect(frameClock(STAMPS, null)).toMatchObject({ ok: false, code: "no-timestamps" });
    expect(() => unwrap(frameClock(STAMPS, [0, 1, 2])).timeOf(3)).toThrow(/frame 3 is outside/);
    expect(() => frameClock({ kind: "capture-rate", captureRateHz: { value: 0, u: 1 } }, null)).toThrow(
      /rate > 0/,
    );
  });
});
