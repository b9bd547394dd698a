import { describe, expect, it } from "vitest";
import {
  anchorOf,
  fromAnchor,
  type HandOffset,
  offsetOf,
  placed,
} from "../../../src/shared/follow/anchor.ts";

const at = (frame: number, x: number, y: number, u = 0.4): HandOffset => ({
  frame,
  offset: [x, y],
  u,
  placeU: 0,
});

describe("anchorOf", () => {
  it("is the mean weighted by 1/u²: by hand (1 · 0.5 + 4 · 0.3)/5 and 0.4/√5", () => {
    const { offset, u } = anchorOf([at(0, 0.5, 1, 0.4), at(9, 0.3, 1, 0.2)]);
    expect(offset).toEqual([expect.closeTo(0.34, 12), expect.closeTo(1, 12)]);
    expect(u).toBeCloseTo(0.4 / Math.sqrt(5), 12);
  });

  it("leaves out what disagrees with most, even the first; of two that disagree it takes the first", () => {
    const hands = [at(0, 5, 0), at(3, 0.1, 0), at(8, -0.1, 0)];
    expect(anchorOf(hands).hands.map(({ frame }) => frame)).toEqual([3, 8]);
    expect(anchorOf([at(0, 5, 0), at(3, 0, 0)]).hands.map(({ frame }) => frame)).toEqual([0]);
  });

  it("throws RangeError without a hand mark", () => {
    expect(() => anchorOf([])).toThrow(/need a hand mark/);
  });
});

describe("fromAnchor", () => {
  it("counts in u of the difference: less for a mark that is in the mean, more for one that is not", () => {
    const hands = [at(0, 0, 0), at(1, 0.6, 0), at(2, 6, 0)];
    const anchor = anchorOf(hands); // at 0.3, u = 0.4/√2
    expect(fromAnchor(hands[1]!, anchor)).toEqual({
      px: expect.closeTo(0.3, 12),
      u: expect.closeTo(0.3 / (0.4 * Math.SQRT1_2), 9),
    });
    expect(fromAnchor(hands[2]!, anchor).u).toBeCloseTo(5.7 / (0.4 * Math.sqrt(1.5)), 9);
    expect(fromAnchor(hands[0]!, anchorOf([hands[0]!]))).toEqual({ px: 0, u: 0 });
  });
});

it("placed and offsetOf undo each other, a quarter turn from x right to y down", () => {
  const warp = { x: 10, y: 20, theta: Math.PI / 2 };
  expect(placed(warp, [3, 1])).toEqual([expect.closeTo(9, 12), expect.closeTo(23, 12)]);
  expect(offsetOf(warp, placed(warp, [3, 1]))).toEqual([expect.closeTo(3, 12), expect.closeTo(1, 12)]);
});
