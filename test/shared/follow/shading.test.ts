import { describe, expect, it } from "vitest";
import type { GreyImage } from "../../../src/shared/follow/grey-image.ts";
import { isShading, smoothnessOf } from "../../../src/shared/follow/shading.ts";
import { templateAt } from "../../../src/shared/follow/template.ts";

const SIDE = 161;
const MIDDLE = 80;
const of = (grey: (x: number, y: number) => number): GreyImage => ({
  data: Float64Array.from({ length: SIDE * SIDE }, (_, i) =>
    grey((i % SIDE) - MIDDLE, Math.floor(i / SIDE) - MIDDLE),
  ),
  width: SIDE,
  height: SIDE,
});
const smooth = (grey: (x: number, y: number) => number, radius = 60) =>
  smoothnessOf(templateAt(of(grey), [MIDDLE, MIDDLE], radius)!);

describe("smoothnessOf", () => {
  it("is whole for a plane, and for a bowl but for its plane", () => {
    expect(smooth((x, y) => 40 + 2 * x - 3 * y)).toEqual({
      plane: expect.closeTo(1, 10),
      bowl: expect.closeTo(1, 10),
    });
    expect(smooth((x, y) => x * x + 2 * y * y)).toEqual({
      plane: expect.closeTo(0, 10),
      bowl: expect.closeTo(1, 10),
    });
    expect(smooth(() => 7)).toEqual({ plane: 1, bowl: 1 });
  });

  // By hand over a disc of radius 1: an edge has E|x| = 4/(3π), E x² = 1/4, so (4/3π)²·4 = 0.7205 of a
  // plane; four
  // quarters E|xy| = 1/(2π), E x²y² = 1/24, so 24/(2π)² = 0.6079 of a bowl; a corner 2(1/3π)²·4/(3/16) =
  // 0.4803.
  it("is what an integral over the disc gives for an edge, a corner and four quarters", () => {
    const off = 1 / 60; // the samples on an axis are neither here nor there: one in the radius of 60
    const near = (share: number, by: number) => expect(Math.abs(share - by)).toBeLessThan(off);
    near(smooth((x) => Math.sign(x)).plane, 0.7205);
    near(smooth((x, y) => (x > 0 && y > 0 ? 1 : 0)).plane, 0.4803);
    const quarters = smooth((x, y) => Math.sign(x) * Math.sign(y));
    near(quarters.plane, 0);
    near(quarters.bowl, 0.6079);
  });
});

describe("isShading", () => {
  it("is a ball's face, not its outline, nor edge, corner or target", () => {
    const ball = (x: number, y: number) => {
      const r = Math.hypot(x, y) / 40;
      return r > 1 ? 90 : 130 * (0.62 * Math.sqrt(1 - r * r) - (0.5 * x + 0.6 * y) / 40);
    };
    expect(isShading(smooth(ball, 30))).toBe(true);
    expect(isShading(smooth(ball, 46))).toBe(false);
    for (const grey of [
      (x: number) => Math.sign(x),
      (x: number, y: number) => (x > 0 && y > 0 ? 1 : 0),
      (x: number, y: number) => Math.sign(x) * Math.sign(y),
    ]) {
      expect(isShading(smooth(grey))).toBe(false);
    }
  });
});
