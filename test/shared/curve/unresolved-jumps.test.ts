import { describe, expect, it } from "vitest";
import type { MixedChange } from "../../../src/shared/curve/curve-mixture.ts";
import { unresolvedAt, unresolvedDuration } from "../../../src/shared/curve/unresolved-jumps.ts";

const change = (kind: MixedChange["kind"], order: number, jump: number): MixedChange => ({
  kind,
  share: 1,
  time: 10,
  timeVariance: 0,
  jumps: [0, 1, 2].map((k) => (k < order ? null : { mean: k === order ? jump : 0, variance: 0 })),
});

/** Sum over samples of the squares by which a ramp of this duration differs from the jump, by quadrature. */
function squares(order: 0 | 1 | 2, jump: number, duration: number): number {
  const parts = 2000;
  const step = duration / parts;
  // the ramp's and the jump's k-th derivative, integrated k times side by side
  let sum = 0;
  let apart = [0, 0, 0];
  for (let i = 0; i < parts; i++) {
    const t = (i + 0.5) * step - duration / 2;
    const own = jump * (t / duration + 0.5 - (t > 0 ? 1 : 0));
    const next = [...apart];
    next[order] = own;
    for (let k = order - 1; k >= 0; k--) next[k] = apart[k]! + step * ((next[k + 1]! + apart[k + 1]!) / 2);
    apart = next;
    sum += step * apart[0]! ** 2;
  }
  return sum;
}

describe("how long a jump may have taken", () => {
  it.each([0, 1] as const)(
    "is when a ramp differs by two standard deviations in all: derivative %i",
    (order) => {
      const [jump, variance] = [3, 0.04];
      const duration = unresolvedDuration(order, jump, variance);
      expect(squares(order, jump, duration) / variance).toBeCloseTo(4, 1);
    },
  );

  it("by hand: 48 (σ/J)² for a value, the cube root of 1280 (σ/J)² for a rate", () => {
    expect(unresolvedDuration(0, 2, 0.01)).toBeCloseTo(0.12, 12);
    expect(unresolvedDuration(1, 2, 0.01)).toBeCloseTo(3.2 ** (1 / 3), 12);
    expect(unresolvedDuration(2, 2, 0.01)).toBeCloseTo((4 * 16128 * 0.0025) ** 0.2, 12);
    expect(unresolvedDuration(1, 0, 0.01)).toBe(0);
  });
});

describe("beside a jump", () => {
  it("of the rate the acceleration is open and the rate between, farther away nothing is", () => {
    const all = [change("rate", 1, 6)];
    const duration = unresolvedDuration(1, 6, 1);
    const at = unresolvedAt(10, all, 1);
    expect(at.lowest).toBe(2);
    expect(at.variances[1]).toBeCloseTo(3 ** 2 / 3, 12);
    expect(at.variances[0]).toBeCloseTo((6 * duration) ** 2 / 64 / 3, 12);
    expect(unresolvedAt(10 + 0.51 * duration, all, 1)).toEqual({ variances: [0, 0, 0], lowest: 3 });
  });

  it("of the value rate and acceleration are open; of nothing but smoothness nothing is", () => {
    expect(unresolvedAt(10, [change("value", 0, 1)], 1).lowest).toBe(1);
    expect(unresolvedAt(10, [change("acceleration", 2, 1)], 1).lowest).toBe(3);
    expect(unresolvedAt(10, [change("smoothness", 3, 1)], 1)).toEqual({ variances: [0, 0, 0], lowest: 3 });
  });
});
