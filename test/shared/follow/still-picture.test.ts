import { describe, expect, it } from "vitest";
import type { GreyImage } from "../../../src/shared/follow/grey-image.ts";
import { isStill } from "../../../src/shared/follow/still-picture.ts";
import { draw, HEIGHT, WIDTH } from "./moving-target.ts";

const at = (x: number) => [{ x, y: 60.5 }];

describe("isStill", () => {
  it("is so for the same picture, sample for sample or with noise of its own", () => {
    const one = draw(at(80.5), 1);
    expect(isStill(one, one)).toBe(true);
    expect(isStill(one, draw(at(80.5), 2))).toBe(true);
    expect(isStill(draw(at(80.5), 1, 6), draw(at(80.5), 2, 6))).toBe(true);
  });

  it("is not where a target a hundredth of the picture moves by two pixels, noise or none", () => {
    expect(isStill(draw(at(80.5), 1, 0), draw(at(82.5), 2, 0))).toBe(false);
    expect(isStill(draw(at(80.5), 1), draw(at(82.5), 2))).toBe(false);
    expect(isStill(draw(at(80.5), 1, 6), draw(at(82.5), 2, 6))).toBe(false);
  });

  it("is not where the pictures are of different sizes, or too small to tell", () => {
    const flat = (width: number): GreyImage => ({ data: new Uint8Array(width * 9), width, height: 9 });
    expect(isStill(flat(9), flat(9))).toBe(false);
    const wide: GreyImage = { data: new Uint8Array(2 * WIDTH * HEIGHT), width: 2 * WIDTH, height: HEIGHT };
    expect(isStill(draw(at(80.5), 1), wide)).toBe(false);
  });
});
