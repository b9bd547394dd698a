import { describe, expect, it } from "vitest";
import { timeByParts } from "../../../src/shared/clock/clock-parts.ts";
import { rateSteps, type TimedPlace } from "../../../src/shared/clock/rate-steps.ts";
import { createChance } from "../../../src/shared/quantity/chance.ts";

const U = 0.2; // px

/** A point seen in frames 0 to 39 of a motion x(t), with seeded errors of its marks. */
function seen(timeOf: (frame: number) => number, x: (t: number) => number, seed = 1): TimedPlace[] {
  const chance = createChance(seed);
  return Array.from({ length: 40 }, (_, frame) => {
    const at = x(timeOf(frame));
    return { time: frame, x: at + U * chance.normal(), y: 0.4 * at + U * chance.normal(), u: U };
  });
}

/** 60 frames/s, from frame 12.5 on 960, from frame 30 on 60 again. */
const phone = timeByParts(60, [
  { fromFrame: 12.5, captureRateHz: 960 },
  { fromFrame: 30, captureRateHz: 60 },
]);
const thrown = (t: number) => 900 * t - 40 * t ** 2;

describe("rateSteps", () => {
  it("finds both borders of a super-slow-motion clip, within a step, and how the rates compare", () => {
    const steps = rateSteps(seen(phone, thrown));
    expect(steps).toHaveLength(2);
    for (const [k, border, ratio] of [
      [0, 12.5, 1 / 16],
      [1, 30, 16],
    ] as const) {
      const step = steps[k]!;
      expect(Math.abs(step.border.value - border)).toBeLessThan(3 * step.border.u);
      expect(step.border.u).toBeLessThan(0.1);
      expect(Math.abs(step.ratio.value - ratio)).toBeLessThan(3 * step.ratio.u);
      expect(step.ratio.u / ratio).toBeLessThan(0.1);
    }
  });

  it("states u that hold: 40 seeded clips, each border and ratio over its u, mean square near 1", () => {
    const z = Array.from({ length: 40 }, (_, seed) => rateSteps(seen(phone, thrown, seed + 1))).flatMap(
      (steps) => steps.map(({ border }, k) => (border.value - [12.5, 30][k]!) / border.u),
    );
    expect(z).toHaveLength(80);
    const meanSquare = z.reduce((sum, one) => sum + one ** 2, 0) / z.length;
    // The window's part widens u beyond what chance alone asks for; below 1.35 is 2.2 standard errors
    expect(meanSquare).toBeLessThan(1.35);
    expect(meanSquare).toBeGreaterThan(0.15);
  });

  it.each([
    ["one rate throughout", (k: number) => k / 240, thrown],
    [
      "a push that begins from creeping",
      (k: number) => k,
      (t: number) => (t < 15 ? 0.8 * t : 12 + 0.8 * (t - 15) + 1.5 * (t - 15) ** 2),
    ],
    [
      "a push of few frames",
      (k: number) => k,
      (t: number) => (t < 15 ? 0 : t < 18 ? 4 * (t - 15) ** 2 : 36 + 24 * (t - 18)),
    ],
    ["a stop against an end stop", (k: number) => k, (t: number) => (t < 20 ? 8 * t : 160)],
    ["a bounce back the way it came", (k: number) => k, (t: number) => (t < 20 ? 8 * t : 160 - 4 * (t - 20))],
  ])("finds no border in %s", (_, timeOf, x) => {
    for (let seed = 1; seed <= 8; seed++) expect(rateSteps(seen(timeOf, x, seed))).toEqual([]);
  });

  it("finds none where under three marks lie on a side, or the point hardly moves", () => {
    expect(rateSteps(seen(phone, thrown).slice(11, 29))).toEqual([]);
    expect(rateSteps(seen(phone, (t) => 0.5 * t))).toEqual([]);
  });

  it("throws RangeError on times that do not increase or a mark without u", () => {
    const [a, b] = seen(phone, thrown);
    expect(() => rateSteps([b!, a!])).toThrow(/rateSteps: mark 1 is out of order/);
    expect(() => rateSteps([{ ...a!, u: 0 }])).toThrow(RangeError);
  });
});
