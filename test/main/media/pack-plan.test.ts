import { describe, expect, it } from "vitest";
import { LONGEST_PACK, nextMissing, runAround } from "../../../src/main/media/pack-plan.ts";
import fc from "../../support/drawn-inputs.ts";

const within = (from: number, to: number) => (frame: number) => frame >= from && frame <= to;
const none = () => false;

describe("runAround", () => {
  it("takes a few neighbours after a jump, cut at the ends of the clip", () => {
    expect(runAround(100, 1000, none)).toEqual({ from: 99, to: 104 });
    expect(runAround(0, 1000, none)).toEqual({ from: 0, to: 4 });
    expect(runAround(999, 1000, none)).toEqual({ from: 998, to: 999 });
  });
  it("takes 48 onwards when the frame before is near, and 48 backwards when the one after is", () => {
    expect(runAround(105, 1000, within(99, 104))).toEqual({ from: 105, to: 152 });
    expect(runAround(98, 1000, within(99, 104))).toEqual({ from: 51, to: 98 });
  });
  it("stops at frames that are near already", () => {
    const near = (frame: number) => frame === 104 || frame === 120;
    expect(runAround(105, 1000, near)).toEqual({ from: 105, to: 119 });
  });
  it("always holds the frame asked for, stays in the clip and holds no other near frame", () => {
    const clip = fc.tuple(fc.integer({ min: 1, max: 300 }), fc.nat(299), fc.uniqueArray(fc.nat(299)));
    fc.assert(
      fc.property(clip, ([count, wanted, there]) => {
        const frame = wanted % count;
        const near = (one: number) => one !== frame && there.includes(one);
        const run = runAround(frame, count, near);
        expect(run.from).toBeGreaterThanOrEqual(0);
        expect(run.to).toBeLessThan(count);
        expect(within(run.from, run.to)(frame)).toBe(true);
        expect(there.some((one) => near(one) && within(run.from, run.to)(one))).toBe(false);
      }),
    );
  });
});

describe("nextMissing", () => {
  it("gives the first gap, null when there is none, and never more than the longest pack", () => {
    expect(nextMissing({ from: 5, to: 20 }, within(5, 9))).toEqual({ from: 10, to: 20 });
    expect(nextMissing({ from: 5, to: 20 }, within(8, 9))).toEqual({ from: 5, to: 7 });
    expect(nextMissing({ from: 5, to: 20 }, within(0, 20))).toBeNull();
    expect(nextMissing({ from: 0, to: 5000 }, none)).toEqual({ from: 0, to: LONGEST_PACK - 1 });
  });
});
