import { describe, expect, it } from "vitest";
import type { GreyImage } from "../../../src/shared/follow/grey-image.ts";
import { correlatedCovariance } from "../../../src/shared/follow/match-covariance.ts";
import { type Match, matchTemplate } from "../../../src/shared/follow/match-template.ts";
import { placeCovariance, pullPx } from "../../../src/shared/follow/place-covariance.ts";
import { templateAt } from "../../../src/shared/follow/template.ts";
import { tileCovariance } from "../../../src/shared/follow/tile-covariance.ts";
import { cubicSpline } from "../../../src/shared/numeric/cubic-spline.ts";
import { createChance } from "../../../src/shared/quantity/chance.ts";
import { unwrap } from "../../../src/shared/quantity/result.ts";
import { draw, HEIGHT, WIDTH } from "./moving-target.ts";

const clean = draw([{ x: 100.5, y: 70.5 }], 1, 0);
const template = templateAt(clean, [100, 70], 12)!;
const matched = (image: GreyImage, robust = false): Match =>
  unwrap(
    matchTemplate(template, cubicSpline(image), { x: 100.1, y: 69.9, theta: 0 }, { robust, tolerance: 1e-5 }),
  );
const made = (grey: (i: number) => number): GreyImage => ({
  data: Float64Array.from({ length: WIDTH * HEIGHT }, (_, i) => grey(i)),
  width: WIDTH,
  height: HEIGHT,
});
const u = (c: Float64Array) => Math.sqrt((c[0]! + c[4]!) / 2);

describe("tileCovariance", () => {
  it("is the scatter of matches under noise of each sample's own, on the mean of 200", () => {
    const chance = createChance(11);
    let [square, told] = [0, 0];
    for (let k = 0; k < 200; k++) {
      const match = matched(made((i) => (clean.data[i] as number) + 3 * chance.normal()));
      square += ((match.x - 100) ** 2 + (match.y - 70) ** 2) / 400;
      told += u(tileCovariance(template, match)!) ** 2 / 200;
    }
    // variances of 400 coordinates are good to 7 %; that of nine tiles is known to be high by some tenths
    expect(Math.sqrt(told / square)).toBeGreaterThan(0.9);
    expect(Math.sqrt(told / square)).toBeLessThan(1.3);
  });

  it("sees that blocks of the picture lie apart, which samples taken as neighbours do not", () => {
    const chance = createChance(12);
    let [square, told, bySamples] = [0, 0, 0];
    for (let k = 0; k < 100; k++) {
      // Each block of 8 by 8 is taken from its own quarter pixel beside its place, as a coder leaves it.
      const shifts = Array.from({ length: 5000 }, () => 0.25 * (chance.uniform() - 0.5));
      const moved = made((i) => {
        const [x, y] = [i % WIDTH, Math.floor(i / WIDTH)];
        const block = Math.floor(y / 8) * 40 + Math.floor(x / 8);
        return (
          (clean.data[i] as number) +
          shifts[2 * block]! * slope(x, y)[0] +
          shifts[2 * block + 1]! * slope(x, y)[1]
        );
      });
      const match = matched(moved);
      square += ((match.x - 100) ** 2 + (match.y - 70) ** 2) / 200;
      told += u(tileCovariance(template, match)!) ** 2 / 100;
      bySamples += u(correlatedCovariance(template, match)) ** 2 / 100;
    }
    expect(Math.sqrt(told / square)).toBeGreaterThan(0.75);
    expect(told).toBeGreaterThan(bySamples);
  });

  function slope(x: number, y: number): readonly [number, number] {
    const at = (a: number, b: number) =>
      clean.data[
        Math.min(HEIGHT - 1, Math.max(0, b)) * WIDTH + Math.min(WIDTH - 1, Math.max(0, a))
      ] as number;
    return [(at(x + 1, y) - at(x - 1, y)) / 2, (at(x, y + 1) - at(x, y - 1)) / 2];
  }

  it("turns with the template, as the other covariance does", () => {
    const match = matched(draw([{ x: 100.5, y: 70.5 }], 3, 3));
    const [a, b] = [
      tileCovariance(template, match)!,
      tileCovariance(template, { ...match, theta: match.theta + Math.PI / 2 })!,
    ];
    expect(b[0]).toBeCloseTo(a[4]!, 12);
    expect(b[4]).toBeCloseTo(a[0]!, 12);
    expect(b[8]).toBeCloseTo(a[8]!, 12);
  });
});

describe("placeCovariance", () => {
  it("widens by what covers a part of the disc, and by nothing where only noise differs", () => {
    const noisy = matched(draw([{ x: 100.5, y: 70.5 }], 5, 2), true);
    expect(pullPx(noisy)).toBe(0);
    const bright = made((i) => {
      const [dx, dy] = [(i % WIDTH) - 105, Math.floor(i / WIDTH) - 66];
      return Math.min(255, (clean.data[i] as number) + 300 * Math.exp(-(dx * dx + dy * dy) / 50));
    });
    const glinting = matched(bright, true);
    expect(pullPx(glinting)).toBeGreaterThan(0.03);
    expect(u(placeCovariance(template, glinting))).toBeGreaterThanOrEqual(pullPx(glinting));
    expect(u(placeCovariance(template, glinting))).toBeGreaterThan(3 * u(placeCovariance(template, noisy)));
  });
});
