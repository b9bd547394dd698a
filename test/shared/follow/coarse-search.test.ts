import { describe, expect, it } from "vitest";
import { coarseSearch } from "../../../src/shared/follow/coarse-search.ts";
import { findTemplate, LEAST_LIKENESS } from "../../../src/shared/follow/find-template.ts";
import type { GreyImage } from "../../../src/shared/follow/grey-image.ts";
import { templateAt } from "../../../src/shared/follow/template.ts";
import { draw, HEIGHT, WIDTH } from "./moving-target.ts";

const first = draw([{ x: 80.5, y: 60.5 }], 1);
const template = templateAt(first, [80, 60], 12)!;
const flat: GreyImage = { data: new Uint8Array(WIDTH * HEIGHT).fill(99), width: WIDTH, height: HEIGHT };

describe("coarseSearch", () => {
  it("finds the target where it went, to a quarter of a pixel, turned as it is told", () => {
    const image = draw([{ x: 91.8, y: 55.2, turn: 0.3 }], 2);
    const straight = coarseSearch(template, image, [82, 60], 0, 16)!;
    const turned = coarseSearch(template, image, [82, 60], 0.3, 16)!;
    expect([turned.best.x, turned.best.y]).toEqual([expect.closeTo(91.3, 0.6), expect.closeTo(54.7, 0.6)]);
    expect(turned.best.likeness).toBeGreaterThan(0.95);
    expect(straight.best.likeness).toBeLessThan(turned.best.likeness - 0.1);
    expect([turned.onEdge, turned.cut]).toEqual([false, false]);
  });

  it("names a second place at least a radius away", () => {
    const image = draw(
      [
        { x: 80.5, y: 60.5 },
        { x: 110.5, y: 60.5 },
      ],
      3,
    );
    const { best, second } = coarseSearch(template, image, [90, 60], 0, 30)!;
    expect([best.x, second!.x].map(Math.round).sort((a, b) => a - b)).toEqual([80, 110]);
    expect(second!.likeness).toBeGreaterThan(0.95);
    expect(coarseSearch(template, image, [80, 60], 0, 8)!.second).toBeNull();
  });

  it("says when the best lies on the window's edge, and when the picture cut the window", () => {
    expect(coarseSearch(template, first, [86, 60], 0, 4)).toMatchObject({ onEdge: true, cut: false });
    expect(coarseSearch(template, first, [80, 60], 0, 60)).toMatchObject({ onEdge: false, cut: true });
    expect(coarseSearch(template, first, [-40, 60], 0, 20)).toBeNull();
  });

  it("finds no likeness where nothing varies", () => {
    expect(coarseSearch(template, flat, [80, 60], 0, 4)!.best.likeness).toBe(0);
    expect(coarseSearch(templateAt(flat, [80, 60], 12)!, first, [80, 60], 0, 4)).toBeNull();
  });
});

describe("templateAt", () => {
  it("takes disc or square, null where it does not fit, and throws between samples", () => {
    expect(templateAt(first, [80, 60], 12, "square")!.dx).toHaveLength(625);
    // π 12.5² = 491
    expect(Math.abs(template.dx.length - 491)).toBeLessThan(12);
    expect(templateAt(first, [11, 60], 12)).toBeNull();
    expect(templateAt(first, [WIDTH - 12, 60], 12)).toBeNull();
    expect(() => templateAt(first, [80.5, 60], 12)).toThrow(/80\.5/);
  });
});

describe("findTemplate", () => {
  it("looks farther when the narrow window holds nothing like it", () => {
    const image = draw([{ x: 125.3, y: 50.9 }], 4);
    const found = findTemplate({ template, turns: true }, image, [{ x: 80, y: 60, theta: 0 }], 8, 64);
    if (!("match" in found)) throw new Error(found.why);
    expect(found.match.x).toBeCloseTo(124.8, 1);
    expect(found.match.likeness).toBeGreaterThan(LEAST_LIKENESS);
  });
});
