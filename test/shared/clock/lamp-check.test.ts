import { describe, expect, it } from "vitest";
import { lampCheck } from "../../../src/shared/clock/lamp-check.ts";
import { clippedByStrip, momentsOf, stripCorners } from "../../../src/shared/clock/strip-polygon.ts";
import { createChance } from "../../../src/shared/quantity/chance.ts";
import { unwrap } from "../../../src/shared/quantity/result.ts";

const exact = (value: number) => ({ value, u: 0 });

/** First frames that show blinks 0..n-1 of a lamp, at `perBlink` frames a blink, begun at `start`. */
function blinks(n: number, perBlink: number, start: number) {
  return Array.from({ length: n }, (_, blink) => ({ frame: Math.round(start + perBlink * blink), blink }));
}

describe("lampCheck", () => {
  it("reads the rate off even blinks, with skipped ones counted", () => {
    const events = blinks(9, 120, 7.2).filter(({ blink }) => blink !== 3 && blink !== 4);
    const { captureRateHz, parts, doubts } = unwrap(lampCheck(events, { value: 0.5, u: 0.0001 }));
    expect(captureRateHz.value).toBeCloseTo(240, 9);
    expect(parts.interval).toBeCloseTo(2e-4, 15);
    // In step with the camera, the blinks between the first and the last tell nothing more: √2
    // · 0.5/√3 over 960 frames.
    expect(parts.frames).toBeCloseTo((Math.SQRT2 * 0.5) / Math.sqrt(3) / 960, 9);
    expect(doubts).toEqual([]);
  });

  it("narrows with blinks that fall out of step, below what the two ends tell", () => {
    const { framesPerBlink } = unwrap(lampCheck(blinks(31, 96.37, 3.4), exact(0.4)));
    expect(Math.abs(framesPerBlink.value - 96.37)).toBeLessThan(3 * framesPerBlink.u);
    expect(framesPerBlink.u).toBeLessThan(0.5 * ((Math.SQRT2 * 0.5) / Math.sqrt(3) / 30));
  });

  it.each([3, 10, 30])(
    "states a u that 4000 seeded lamps of %d blinks bear out, near step and far from it",
    (n) => {
      const z = Array.from({ length: 4000 }, (_, seed) => {
        const chance = createChance(seed);
        const perBlink = 100 + (seed % 2 === 0 ? 0.1 : 1) * (chance.uniform() - 0.5);
        const { framesPerBlink } = unwrap(lampCheck(blinks(n, perBlink, 10 * chance.uniform()), exact(1)));
        return (framesPerBlink.value - perBlink) / framesPerBlink.u;
      });
      const sd = Math.sqrt(z.reduce((sum, one) => sum + one * one, 0) / z.length);
      // 3.3 % is three standard errors. Lamps kept near step lie in the middle of what their readings allow:
      // off by less than stated.
      expect(sd).toBeLessThan(1.033);
      expect(sd).toBeGreaterThan(0.7);
      const within = z.filter((one) => Math.abs(one) <= 2).length / z.length;
      expect(within).toBeGreaterThan(0.94);
    },
  );

  it("states a u for lamps far from step that 4000 of them bear out to 3.3 %", () => {
    const z = Array.from({ length: 4000 }, (_, seed) => {
      const chance = createChance(seed);
      const perBlink = 90 + 20 * chance.uniform();
      const { framesPerBlink } = unwrap(lampCheck(blinks(8, perBlink, 10 * chance.uniform()), exact(1)));
      return (framesPerBlink.value - perBlink) / framesPerBlink.u;
    });
    const sd = Math.sqrt(z.reduce((sum, one) => sum + one * one, 0) / z.length);
    expect(Math.abs(sd - 1)).toBeLessThan(0.033);
  });

  it("falls back on the scatter for a lamp that is uneven, and says so", () => {
    const chance = createChance(3);
    const events = blinks(20, 120, 5.3).map(({ frame, blink }) => ({
      frame: frame + Math.round(1.2 * (chance.uniform() - 0.5) * 2),
      blink,
    }));
    const { framesPerBlink, doubts } = unwrap(lampCheck(events, exact(0.5)));
    expect(doubts).toMatchObject([{ code: "uneven-blinks" }]);
    expect(Math.abs(framesPerBlink.value - 120)).toBeLessThan(4 * framesPerBlink.u);
  });

  it("refuses a miscounted blink by its place, a short clip, and a lone event", () => {
    const miscounted = blinks(12, 100, 2).map((event, i) =>
      i === 6 ? { ...event, frame: event.frame + 40 } : event,
    );
    expect(lampCheck(miscounted, exact(1))).toMatchObject({ code: "miscounted", numbers: { event: 6 } });
    expect(lampCheck(blinks(3, 4, 0), exact(1))).toMatchObject({ code: "too-short", numbers: { frames: 8 } });
    expect(lampCheck(blinks(1, 4, 0), exact(1))).toMatchObject({ code: "too-few-events" });
  });

  it("throws on events out of order and on no interval", () => {
    expect(() => lampCheck(blinks(4, 100, 0).reverse(), exact(1))).toThrow(/event 1 .* out of order/);
    expect(() =>
      lampCheck(
        [
          { frame: 0, blink: 0 },
          { frame: 50, blink: 0.5 },
        ],
        exact(1),
      ),
    ).toThrow(/out of order/);
    expect(() => lampCheck(blinks(4, 100, 0), exact(0))).toThrow(/interval > 0/);
  });
});

describe("strips", () => {
  const across = { z: -1, middle: 0, half: 0.5 };
  const up = { z: 1, middle: 0, half: 0.5 };

  it("stripCorners of |p - q| <= 1/2 and |p + q| <= 1/2 is the square on its corner, sd of q 1/√24", () => {
    const square = stripCorners(across, up);
    expect(square).toHaveLength(4);
    expect(momentsOf(square)).toEqual({
      meanQ: expect.closeTo(0, 15),
      sdQ: expect.closeTo(1 / Math.sqrt(24), 12),
    });
  });

  it("clippedByStrip cuts that square in half, which leaves the spread of q, and to nothing", () => {
    // p >= 0 leaves the corners (0, ±1/2), (1/2, 0): q even about 0 falling off evenly, sd 1/√24 as before.
    const half = clippedByStrip(stripCorners(across, up), { z: 0, middle: 5, half: 5 });
    expect(momentsOf(half)).toEqual({
      meanQ: expect.closeTo(0, 15),
      sdQ: expect.closeTo(1 / Math.sqrt(24), 12),
    });
    // Of p + 0.5 q in [0.5, ...] only the corner near (1/2, 0) is left, with no area.
    expect(momentsOf(clippedByStrip(stripCorners(across, up), { z: 0.5, middle: 5, half: 4.4 }))).toBeNull();
  });

  it("stripCorners throws on parallel strips", () => {
    expect(() => stripCorners(up, { ...up, middle: 3 })).toThrow(/z = 1/);
  });
});
