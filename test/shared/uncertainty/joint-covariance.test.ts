import { describe, expect, it } from "vitest";
import { jointCovariance } from "../../../src/shared/uncertainty/joint-covariance.ts";

describe("jointCovariance", () => {
  it("of a straight line with a slope known beforehand is what drawing that slope gives", () => {
    // y = p + q x at x = 0, 1, 2, u = 0.1; p fitted under a prior of 1, q held at its prior of 1:
    // p = mean(y) - q mean(x).
    const rows = [0, 1, 2].map((x) => [1 / 0.1, x / 0.1]);
    const jacobian = Float64Array.from([...rows, [1, 0], [0, 1]].flat());
    const c = jointCovariance(jacobian, 5, 2, [true, false]);
    const own = 1 / (3 / 0.01 + 1);
    const shift = -own * (3 / 0.01); // mean of x is 1
    expect(c[0]).toBeCloseTo(own + shift * shift, 12);
    expect(c[1]).toBeCloseTo(shift, 12);
    expect(c[2]).toBeCloseTo(shift, 12);
    expect(c[3]).toBe(1);
  });
});
