import { expect, it } from "vitest";
import { findRoot } from "../../../src/shared/numeric/find-root.ts";

it("findRoot finds roots of bent functions as far as doubles go, in few calls", () => {
  for (const [f, a, b, root] of [
    [(x: number) => x ** 3 - 2, 0, 5, Math.cbrt(2)],
    [(x: number) => Math.exp(x) - 1e3, -20, 20, Math.log(1e3)],
    [(x: number) => Math.atan(x - 1), 30, -4, 1],
  ] as const) {
    let calls = 0;
    const counted = (x: number) => {
      calls++;
      return f(x);
    };
    expect(findRoot(counted, a, f(a), b, f(b))).toBeCloseTo(root, 14);
    expect(calls).toBeLessThan(80);
  }
});

it("findRoot takes an end that is a root", () => {
  expect(findRoot((x) => x, 0, 0, 1, 1)).toBe(0);
  expect(findRoot((x) => x - 1, 0, -1, 1, 0)).toBe(1);
});

it("findRoot throws RangeError when the signs do not differ", () => {
  expect(() => findRoot((x) => x * x + 1, -1, 2, 1, 2)).toThrow(RangeError);
});
