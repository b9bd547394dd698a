import { describe, expect, it } from "vitest";
import { boxAround, type GreyImage } from "../../../src/shared/follow/grey-image.ts";
import { cubicSpline, isInside, sampleAt, valueAt } from "../../../src/shared/numeric/cubic-spline.ts";
import { createChance } from "../../../src/shared/quantity/chance.ts";

const [WIDTH, HEIGHT] = [61, 47];
const chance = createChance(3);
const noise: GreyImage = {
  data: Float64Array.from({ length: WIDTH * HEIGHT }, () => 255 * chance.uniform()),
  width: WIDTH,
  height: HEIGHT,
};
const of = (f: (x: number, y: number) => number): GreyImage => ({
  ...noise,
  data: Float64Array.from({ length: WIDTH * HEIGHT }, (_, i) => f(i % WIDTH, Math.floor(i / WIDTH))),
});

describe("cubicSpline", () => {
  it("of one bright sample is the cardinal spline: 1 there, 0 at its neighbours, 0.6005 half-way", () => {
    const spline = cubicSpline(of((x, y) => (x === 30 && y === 20 ? 1 : 0)));
    expect(valueAt(spline, 30, 20)).toBeCloseTo(1, 12);
    expect(valueAt(spline, 31, 20)).toBeCloseTo(0, 12);
    // Coefficients √3 z^|k|, z = √3 - 2; at 1/2 the B-splines are 23/48, 23/48, 1/48, 1/48.
    const z = Math.sqrt(3) - 2;
    const half = Math.sqrt(3) * ((23 / 48) * (1 + z) + (1 / 48) * (z + z * z));
    expect(valueAt(spline, 30.5, 20)).toBeCloseTo(half, 12);
    expect(valueAt(spline, 30, 20.5)).toBeCloseTo(half, 12);
  });

  it("passes through every sample, at the edges too", () => {
    const spline = cubicSpline(noise);
    for (let y = 0; y < HEIGHT; y++)
      for (let x = 0; x < WIDTH; x++)
        expect(valueAt(spline, x, y)).toBeCloseTo(noise.data[y * WIDTH + x] as number, 9);
  });

  it("is exact for a cubic, away from the mirrored edges, with its slopes", () => {
    const [f, fx, fy] = [
      (x: number, y: number) => 2e-3 * x ** 3 - 1e-3 * x * x * y + 0.3 * x + 4e-3 * y ** 3,
      (x: number, y: number) => 6e-3 * x * x - 2e-3 * x * y + 0.3,
      (x: number, y: number) => -1e-3 * x * x + 12e-3 * y * y,
    ];
    const sample = sampleAt(cubicSpline(of(f)), 30.37, 22.81);
    expect(sample.value).toBeCloseTo(f(30.37, 22.81), 5);
    expect(sample.dx).toBeCloseTo(fx(30.37, 22.81), 4);
    expect(sample.dy).toBeCloseTo(fy(30.37, 22.81), 4);
  });

  it("has the slopes of its own values", () => {
    const spline = cubicSpline(noise);
    const e = 1e-5;
    for (const [x, y] of [
      [12.3, 8.9],
      [0.2, 0.4],
      [59.8, 45.9],
    ] as const) {
      const { value, dx, dy } = sampleAt(spline, x, y);
      expect(value).toBeCloseTo(valueAt(spline, x, y), 10);
      expect(dx).toBeCloseTo((valueAt(spline, x + e, y) - valueAt(spline, x - e, y)) / (2 * e), 4);
      expect(dy).toBeCloseTo((valueAt(spline, x, y + e) - valueAt(spline, x, y - e)) / (2 * e), 4);
    }
  });

  it("of a part is that of the whole, a dozen samples inside the part, to 1e-6 of the grey levels' range", () => {
    const [whole, part] = [
      cubicSpline(noise),
      cubicSpline(noise, { left: 10, top: 5, right: 50, bottom: 40 }),
    ];
    for (const [x, y] of [
      [22.4, 17.3],
      [37.9, 27.7],
    ] as const)
      expect(Math.abs(valueAt(part, x, y) - valueAt(whole, x, y))).toBeLessThan(255e-6);
    expect([isInside(part, 10, 5), isInside(part, 9.99, 20), isInside(part, 50, 40.01)]).toEqual([
      true,
      false,
      false,
    ]);
  });

  it("throws RangeError for a box that is not in the picture, with the box", () => {
    expect(() => cubicSpline(noise, { left: -1, top: 0, right: 5, bottom: 5 })).toThrow(/-1\.\.5/);
    expect(() => cubicSpline(noise, { left: 0, top: 0, right: WIDTH, bottom: 5 })).toThrow(RangeError);
  });
});

it("boxAround cuts the reach at the picture's edge, and finds nothing outside", () => {
  expect(boxAround(noise, [3.2, 40.7], 10)).toEqual({ left: 0, top: 30, right: 14, bottom: 46 });
  expect(boxAround(noise, [-20, 10], 10)).toBeNull();
});
