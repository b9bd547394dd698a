import { describe, expect, it } from "vitest";
import { expectedPlace } from "../../../src/shared/follow/expected-place.ts";

const path = (time: number) => ({
  x: 1 + 2 * time + 0.5 * time * time,
  y: 4 - time,
  theta: 0.1 * time,
  time,
});

describe("expectedPlace", () => {
  it("goes on from one place, two and three: at rest, at constant speed, at constant acceleration", () => {
    expect(expectedPlace([path(3)], 4)).toEqual({ x: 11.5, y: 1, theta: expect.closeTo(0.3, 12) });
    const two = expectedPlace([path(2), path(3)], 4);
    expect(two).toEqual({ x: 2 * 11.5 - 7, y: 0, theta: expect.closeTo(0.4, 12) });
    expect(expectedPlace([path(1), path(2), path(3)], 4).x).toBeCloseTo(path(4).x, 12);
    expect(expectedPlace([path(0), path(1), path(2), path(3)], 4).x).toBeCloseTo(path(4).x, 12);
  });

  it("goes by the times, uneven ones and falling ones too", () => {
    expect(expectedPlace([path(1), path(1.4), path(3)], 3.3).x).toBeCloseTo(path(3.3).x, 12);
    expect(expectedPlace([path(5), path(4), path(2.5)], 1).x).toBeCloseTo(path(1).x, 12);
  });

  it("throws RangeError without a place", () => {
    expect(() => expectedPlace([], 1)).toThrow(RangeError);
  });
});
