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

  it("takes inserted repeats out of the count, and gives a repeat the time of what it shows", () => {
    const clock = unwrap(frameClock({ ...RATE, repeats: { frames: [3, 4, 7], kind: "inserted" } }, null));
    const times = [0, 1, 2, 3, 4, 5, 6, 7, 8].map((k) => clock.timeOf(k) * 960);
    expect(times).toEqual([0, 1, 2, 2, 2, 3, 4, 4, 5]);
    expect(clock.timeOf(4.25) * 960).toBeCloseTo(2.25, 12);
    expect(clock.timeOf(2.5) * 960).toBeCloseTo(2, 12);
  });

  it("keeps the time of frames after a stale repeat", () => {
    const clock = unwrap(frameClock({ ...RATE, repeats: { frames: [3, 4, 7], kind: "stale" } }, null));
    const times = [0, 1, 2, 3, 4, 5, 6, 7, 8].map((k) => clock.timeOf(k) * 960);
    expect(times).toEqual([0, 1, 2, 2, 2, 5, 6, 6, 8]);
  });

  it("leaves room for missing frames, with repeats beside them", () => {
    const gaps = [
      { afterFrame: 1, missing: 2 },
      { afterFrame: 4, missing: 1 },
    ];
    const clock = unwrap(frameClock({ ...RATE, gaps }, null));
    expect([0, 1, 2, 3, 4, 5, 6].map((k) => clock.timeOf(k) * 960)).toEqual([0, 1, 4, 5, 6, 8, 9]);
    expect(clock.timeOf(1.5) * 960).toBeCloseTo(2.5, 12);
    const both = unwrap(frameClock({ ...RATE, gaps, repeats: { frames: [3], kind: "inserted" } }, null));
    expect([2, 3, 4, 5].map((k) => both.timeOf(k) * 960)).toEqual([4, 4, 5, 7]);
  });

  it("runs at each part's own rate: 60, from frame 2 on 960, from 4.5 on 240 frames/s, by hand", () => {
    const parts = [
      { from: { value: 2, u: 0.3 }, captureRateHz: { value: 960, u: 2 } },
      { from: { value: 4.5, u: 0.3 }, captureRateHz: { value: 240, u: 3 } },
    ];
    const clock = unwrap(frameClock({ ...RATE, captureRateHz: { value: 60, u: 0.3 }, parts }, null));
    const ticks = [0, 1, 2, 3, 4, 4.5, 5, 6].map((k) => clock.timeOf(k) * 960);
    for (const [k, at] of [0, 16, 32, 33, 34, 34.5, 36.5, 40.5].entries())
      expect(ticks[k]).toBeCloseTo(at, 9);
    expect(clock.relativeU).toBeCloseTo(3 / 240, 15); // the largest
    const gaps = [{ afterFrame: 0, missing: 2 }];
    const repeats = { frames: [3], kind: "inserted" } as const;
    const late = unwrap(
      frameClock({ ...RATE, captureRateHz: { value: 60, u: 0.3 }, parts, gaps, repeats }, null),
    );
    // two missing at 1/60 s each; frame 3's step of 1/960 s taken out
    for (const [k, at] of [0, 48, 64, 64, 65].entries()) expect(late.timeOf(k) * 960).toBeCloseTo(at, 9);
    expect(() => frameClock({ ...RATE, parts: [parts[1]!, parts[0]!] }, null)).toThrow(
      /borders must increase/,
    );
    expect(() =>
      frameClock({ ...RATE, parts: [{ ...parts[0]!, captureRateHz: { value: 0, u: 1 } }] }, null),
    ).toThrow(/need a rate > 0/);
  });

  it("takes an inserted repeat's own interval out of timestamps; a stale one moves nothing after it", () => {
    const stamps = [0.5, 0.504, 0.511, 0.512, 0.52];
    const at = (kind: "inserted" | "stale") =>
      unwrap(frameClock({ ...STAMPS, repeats: { frames: [2], kind } }, stamps));
    const inserted = [0, 1, 2, 3, 4].map((k) => at("inserted").timeOf(k));
    [0, 0.004, 0.004, 0.005, 0.013].forEach((t, k) => {
      expect(inserted[k]).toBeCloseTo(t, 14);
    });
    const stale = [0, 1, 2, 3, 4].map((k) => at("stale").timeOf(k));
    [0, 0.004, 0.004, 0.012, 0.02].forEach((t, k) => {
      expect(stale[k]).toBeCloseTo(t, 14);
    });
  });

  it("never goes back in time, whatever repeats and gaps it is told", () => {
    const frames = [1, 2, 5, 9, 10, 11];
    for (const kind of ["inserted", "stale"] as const) {
      const gaps = [{ afterFrame: 4, missing: 3 }];
      const clock = unwrap(frameClock({ ...RATE, repeats: { frames, kind }, gaps }, null));
      const times = Array.from({ length: 130 }, (_, i) => clock.timeOf(i / 10));
      expect(times.every((t, i) => i === 0 || t >= (times[i - 1] as number))).toBe(true);
      expect(times.at(-1)).toBeGreaterThan(0);
    }
  });

  it("gives each mark the time of its row, and the readout's u as one error for all", () => {
    const readout = { readoutS: { value: 0.006, u: 0.0004 }, heightPx: 800 };
    const clock = unwrap(frameClock({ ...RATE, readout }, null));
    expect(clock.timeOf(48, 400)).toBe(0.05);
    expect(clock.timeOf(48)).toBe(0.05);
    expect(clock.timeOf(48, 0)).toBeCloseTo(0.047, 15);
    expect(clock.timeOf(48, 700)).toBeCloseTo(0.05225, 15);
    expect(clock.rowU(700)).toBeCloseTo(0.00015, 15);
    expect(clock.rowU(100)).toBeCloseTo(0.00015, 15);
    expect(clock.rowFraction(100)).toBe(-0.375);
    const upended = unwrap(
      frameClock({ ...RATE, readout: { ...readout, readoutS: { value: -0.006, u: 0.0004 } } }, null),
    );
    expect(upended.timeOf(48, 0)).toBeCloseTo(0.053, 15);
  });

  it("does not ask for rows without a readout", () => {
    const clock = unwrap(frameClock(RATE, null));
    expect(clock.timeOf(48, 700)).toBe(0.05);
    expect([clock.rowU(700), clock.rowFraction(700)]).toEqual([0, 0]);
  });

  it("throws on repeats, gaps and readouts that cannot be", () => {
    const repeats = (frames: number[]) => () =>
      frameClock({ ...RATE, repeats: { frames, kind: "stale" } }, null);
    expect(repeats([0])).toThrow(/increase from 1/);
    expect(repeats([4, 4])).toThrow(/increase from 1/);
    expect(repeats([2.5])).toThrow(/increase from 1/);
    const gap = (afterFrame: number, missing: number) => () =>
      frameClock({ ...RATE, gaps: [{ afterFrame, missing }] }, null);
    expect(gap(-1, 1)).toThrow(/gaps/);
    expect(gap(3, 0)).toThrow(/gaps/);
    const readout = { readoutS: { value: 0.01, u: -1 }, heightPx: 800 };
    expect(() => frameClock({ ...RATE, readout }, null)).toThrow(/readout/);
    const late = { ...STAMPS, repeats: { frames: [3], kind: "inserted" } } as const;
    expect(() => frameClock(late, [0, 1, 2])).toThrow(/frame 3 is outside/);
  });

  it("refuses timestamps it does not have, and throws outside the clip", () => {
    expect(frameClock(STAMPS, null)).toMatchObject({ ok: false, code: "no-timestamps" });
    expect(() => unwrap(frameClock(STAMPS, [0, 1, 2])).timeOf(3)).toThrow(/frame 3 is outside/);
    expect(() => frameClock({ kind: "capture-rate", captureRateHz: { value: 0, u: 1 } }, null)).toThrow(
      /rate > 0/,
    );
  });
});
