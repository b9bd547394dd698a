import { describe, expect, it } from "vitest";
import type { FramesInTime } from "../../../src/shared/beside/frames-in-time.ts";
import { nearestFrame, pairAt, stepAt, stepsOf } from "../../../src/shared/beside/pair-frames.ts";
import fc from "../../support/drawn-inputs.ts";

/** Frames at a rate, the instant at a frame (fractions allowed). */
function clip(rateHz: number, zeroFrame: number, count: number, zeroU = 0, rateU = 0): FramesInTime {
  const timeOf = (frame: number) => (frame - zeroFrame) / rateHz;
  const uOf = (frame: number) => Math.hypot(zeroU, (rateU / rateHz) * timeOf(frame));
  return { count, zeroS: zeroFrame / rateHz, zeroU, timeOf, uOf };
}

/** Frames at given times. */
function at(...times: number[]): FramesInTime {
  return { count: times.length, zeroS: 0, zeroU: 0, timeOf: (frame) => times[frame]!, uOf: () => 0 };
}

describe("nearestFrame", () => {
  it("takes the nearer of the frames on both sides, the first of two as near, and stays inside the clip", () => {
    const five = at(0, 1, 2, 3, 4);
    expect(nearestFrame(five, 2.4)).toBe(2);
    expect(nearestFrame(five, 2.6)).toBe(3);
    expect(nearestFrame(five, 2.5)).toBe(2);
    expect(nearestFrame(five, -9)).toBe(0);
    expect(nearestFrame(five, 9)).toBe(4);
  });

  it("takes the first of repeated frames, which show one time", () => {
    expect(nearestFrame(at(0, 1, 1, 1, 2), 1)).toBe(1);
    expect(nearestFrame(at(0, 1, 1, 1, 2), 1.2)).toBe(1);
  });

  it("looks at few frames, however long a run of repeated ones is", () => {
    let asked = 0;
    const stuck: FramesInTime = {
      ...{ count: 1_000_000, zeroS: 0, zeroU: 0, uOf: () => 0 },
      timeOf: (frame) => {
        asked++;
        return frame === 0 ? -1 : frame === 999_999 ? 1 : 0;
      },
    };
    expect(nearestFrame(stuck, 0.2)).toBe(1);
    expect(asked).toBeLessThan(60); // 20 halvings of a million, twice, and the two compared
  });

  it("is the nearest of all frames, as looking at each one finds it", () => {
    const times = fc.array(fc.integer({ min: 0, max: 40 }), { minLength: 1, maxLength: 30 });
    fc.assert(
      fc.property(times, fc.integer({ min: -50, max: 850 }), (steps, where) => {
        const all = steps.map((_, i) => steps.slice(0, i + 1).reduce((sum, step) => sum + step, 0));
        const found = nearestFrame(at(...all), where / 2);
        const least = Math.min(...all.map((time) => Math.abs(time - where / 2)));
        expect(Math.abs(all[found]! - where / 2)).toBe(least);
        expect(all.indexOf(all[found]!)).toBe(found);
      }),
    );
  });
});

describe("pairAt", () => {
  it("gives each frame's own time and how far the second is behind the first, with u", () => {
    // 240 Hz, release at frame 100.25; 100 Hz, release at frame 40.4: at 10 ms, frames 103 and 41.
    const pair = [clip(240, 100.25, 200, 3e-4, 0.48), clip(100, 40.4, 90, 4e-4, 0)] as const;
    const { frames, times, apart } = pairAt(pair, 0.01);
    expect(frames).toEqual([103, 41]);
    expect(times[0].value).toBeCloseTo(2.75 / 240, 12);
    expect(times[0].u).toBeCloseTo(Math.hypot(3e-4, 0.002 * (2.75 / 240)), 12); // u(f)/f is 0.2 %
    expect(times[1]).toEqual({ value: expect.closeTo(0.006, 12), u: 4e-4 });
    expect(apart.value).toBeCloseTo(0.006 - 2.75 / 240, 12);
    expect(apart.u).toBeCloseTo(Math.hypot(times[0].u, 4e-4), 12);
  });

  it("is never farther apart than half a frame of both together, where both have frames", () => {
    const rate = fc.double({ min: 20, max: 2000, noNaN: true });
    const zero = fc.double({ min: 0, max: 60, noNaN: true });
    fc.assert(
      fc.property(rate, rate, zero, zero, fc.double({ min: 0, max: 1, noNaN: true }), (f, g, a, b, share) => {
        const pair = [clip(f, a, 61), clip(g, b, 61)] as const;
        const steps = stepsOf(pair);
        const lead = pair[steps.lead];
        const time = lead.timeOf(steps.frames[Math.floor(share * (steps.frames.length - 1))]!);
        const inBoth = pair.every((one) => one.timeOf(0) <= time && time <= one.timeOf(60));
        fc.pre(inBoth);
        expect(Math.abs(pairAt(pair, time).apart.value)).toBeLessThanOrEqual(
          (0.5 / Math.min(f, g)) * (1 + 1e-9),
        );
      }),
    );
  });

  it("has no error between a shot and itself, but has between two shots of one clip", () => {
    const one = clip(240, 100.25, 200, 3e-4);
    expect(pairAt([one, one], 0.02).apart).toEqual({ value: 0, u: 0 });
    const other = clip(240, 60.5, 200, 4e-4);
    expect(pairAt([one, other], 0.02).apart.u).toBeCloseTo(5e-4, 12);
  });
});

describe("stepsOf", () => {
  it("steps through the faster clip, whichever side it is on, where both have frames", () => {
    const slow = clip(100, 10, 31); // -100 to 200 ms
    const fast = clip(240, 12, 100); // -50 to 362.5 ms
    expect(stepsOf([slow, fast])).toMatchObject({ lead: 1, frames: expect.arrayContaining([0, 12, 60]) });
    expect(stepsOf([slow, fast]).frames).toHaveLength(61); // -50 to 200 ms
    expect(stepsOf([fast, slow]).lead).toBe(0);
    expect(stepsOf([fast, fast]).lead).toBe(0);
  });

  it("is as fast as the clip is about the instant, not where it is padded", () => {
    const early = Array.from({ length: 40 }, (_, i) => -0.4 + i / 1000);
    const late = Array.from({ length: 40 }, (_, i) => -0.2 + i / 100);
    expect(stepsOf([clip(240, 60, 200), at(...early, ...late)]).lead).toBe(0);
  });

  it("leaves repeated frames out, so that each step goes on in time", () => {
    expect(stepsOf([at(0, 1, 1, 2, 3), at(0, 3)]).frames).toEqual([0, 1, 3, 4]);
  });

  it("gives the frame nearest to the instant where the clips do not overlap", () => {
    expect(stepsOf([at(-9, -8, -7), at(5, 6.5)])).toEqual({ lead: 0, frames: [2] });
  });
});

it("stepAt finds the step nearest to a time, as after another pair was chosen", () => {
  const pair = [at(0, 1, 2, 3), at(0, 3)] as const;
  const steps = stepsOf(pair);
  expect([-5, 0.4, 1.6, 9].map((time) => stepAt(pair, steps, time))).toEqual([0, 0, 2, 3]);
});
