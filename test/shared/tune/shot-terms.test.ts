import { describe, expect, it } from "vitest";
import { aheadOf } from "../../../src/shared/tune/shot-terms.ts";

const PUSH_S = 0.12;

describe("how a shot runs otherwise than the others", () => {
  it("speed: a share of the time from release, before and after it", () => {
    for (const t of [-0.1, 0, 0.03]) expect(aheadOf("speed", t, PUSH_S)).toEqual({ aheadS: t, quicker: 1 });
  });

  it("early: all of it at the start, half of it in the middle, none at release and after", () => {
    const quicker = [-PUSH_S, -PUSH_S / 2, 0, 0.03].map((t) => aheadOf("early", t, PUSH_S).quicker);
    expect(quicker).toEqual([1, 0.5, 0, 0].map((x) => expect.closeTo(x, 12)));
    expect(aheadOf("early", 0.03, PUSH_S).aheadS).toBeCloseTo(0, 15);
    // what lies before the push is as far ahead as its start is
    expect(aheadOf("early", -1, PUSH_S).aheadS).toBe(aheadOf("early", -PUSH_S, PUSH_S).aheadS);
  });

  it("is ahead by the integral of how much quicker it is", () => {
    const h = 1e-6;
    for (const t of [-0.11, -0.06, -0.01]) {
      const slope =
        (aheadOf("early", t + h, PUSH_S).aheadS - aheadOf("early", t - h, PUSH_S).aheadS) / (2 * h);
      expect(slope).toBeCloseTo(aheadOf("early", t, PUSH_S).quicker, 6);
    }
  });
});
