import { describe, expect, it } from "vitest";
import { unwrap } from "../../../src/shared/quantity/result.ts";
import { propagate } from "../../../src/shared/uncertainty/propagate.ts";

const inputs = [
  { name: "x", value: 3, u: 0.1 },
  { name: "y", value: 4, u: 0.2 },
];

describe("propagate", () => {
  it("adds sensitivities times u in squares: x y and x − y by hand", () => {
    const result = unwrap(propagate(([x, y]) => [x! * y!, x! - y!], inputs));
    expect(result.values).toEqual([12, -1]);
    expect(result.u[0]).toBeCloseTo(Math.hypot(4 * 0.1, 3 * 0.2), 12);
    expect(result.u[1]).toBeCloseTo(Math.hypot(0.1, 0.2), 12);
    expect(result.parts[1]![1]).toBeCloseTo(-0.2, 12);
  });
  it("gives speed = b f/s of a filmed run: 14.12 m/s, u 0.04425 m/s (35.30 ± 0.05 px, 240 ± 0.3 Hz, 600 ± 1.5 px/m)", () => {
    const result = unwrap(
      propagate(
        ([b, f, s]) => [(b! * f!) / s!],
        [
          { name: "b", value: 35.3, u: 0.05 },
          { name: "f", value: 240, u: 0.3 },
          { name: "s", value: 600, u: 1.5 },
        ],
      ),
    );
    expect(result.values[0]).toBeCloseTo(14.12, 12);
    expect(result.u[0]).toBeCloseTo(0.04424491, 6); // the quotient's third order adds 3e-7
  });
  it("takes no part from an uncertainty below the last digit of its value", () => {
    const result = unwrap(propagate(([x]) => [x! / 1e290], [{ name: "x", value: 1e297, u: 0.1 }]));
    expect(result.u).toEqual([0]);
  });
  it("asks nothing of an exactly known input", () => {
    let calls = 0;
    const model = (x: readonly number[]) => {
      calls++;
      return [x[0]!];
    };
    expect(unwrap(propagate(model, [{ name: "x", value: 2, u: 0 }])).u).toEqual([0]);
    expect(calls).toBe(1);
  });
  it("stays within the limits of an input, with a one-sided difference there", () => {
    const seen: number[] = [];
    const model = ([x]: readonly number[]) => {
      seen.push(x!);
      return [3 * x!];
    };
    const result = unwrap(propagate(model, [{ name: "x", value: 0, u: 0.5, low: 0 }]));
    expect(Math.min(...seen)).toBe(0);
    expect(result.u[0]).toBeCloseTo(1.5, 12);
  });
  it("shortens its step where the model has no value a whole u away on either side", () => {
    const model = ([x]: readonly number[]) => (Math.abs(x! - 1) > 0.1 ? null : [5 * x!]);
    expect(unwrap(propagate(model, [{ name: "x", value: 1, u: 0.5 }])).u[0]).toBeCloseTo(2.5, 10);
  });
  it("refuses where the model has no value, there or anywhere near, naming the input", () => {
    expect(propagate(() => null, inputs)).toEqual({ ok: false, code: "no-value", numbers: {} });
    const point = ([x, y]: readonly number[]) => (y === 4 ? [x!] : null);
    expect(propagate(point, inputs)).toEqual({ ok: false, code: "no-neighbour", numbers: { input: 1 } });
  });
  it("throws RangeError on a negative u or a value outside its own limits", () => {
    expect(() => propagate(() => [0], [{ name: "mass", value: 1, u: -1 }])).toThrow(/mass = 1, u = -1/);
    expect(() => propagate(() => [0], [{ name: "mass", value: -1, u: 0, low: 0 }])).toThrow(RangeError);
  });
});
