import { describe, expect, it } from "vitest";
import { showExact, showMeasured } from "../../../src/shared/quantity/display.ts";

describe("showMeasured", () => {
  it.each([
    [{ value: 14.2134, u: 0.0612 }, "m/s", "14.21 ± 0.06 m/s"],
    [{ value: 14.2134, u: 0.0212 }, "m/s", "14.213 ± 0.021 m/s"],
    [{ value: 243.4, u: 9.2 }, "m/s²", "243 ± 9 m/s²"],
    [{ value: 243.4, u: 92 }, "m/s²", "240 ± 90 m/s²"],
    [{ value: 0.5410521, u: 0.0523599 }, "rad/s", "31 ± 3 °/s"],
    [{ value: -0.000001, u: 0.1 }, "m", "0.00 ± 0.10 m"],
    [{ value: 400000, u: 10000 }, "Pa", "4.00 ± 0.10 bar"],
    [{ value: 288.15, u: 2 }, "K", "15.0 ± 2.0 °C"],
    [{ value: 1.5, u: 0 }, "m", "1.5 ± 0 m"],
  ] as const)("words %o %s as %s", (measured, unit, text) => {
    expect(showMeasured(measured, unit).text).toBe(text);
  });

  it("converts to the field set: psi, ft/s, g", () => {
    expect(showMeasured({ value: 689475.7293168361, u: 6894.757293168361 }, "Pa", "field").text).toBe(
      "100.0 ± 1.0 psi",
    );
    expect(showMeasured({ value: 3.048, u: 0.3048 }, "m/s", "field").text).toBe("10.0 ± 1.0 ft/s");
    expect(showMeasured({ value: 98.0665, u: 9.80665 }, "m/s²", "field").text).toBe("10.0 ± 1.0 g");
  });

  it("signs on request, with a true minus", () => {
    expect(showMeasured({ value: 0.5, u: 0.05 }, "rad/s", "SI", true).text).toBe("+28.6 ± 2.9 °/s");
    expect(showMeasured({ value: -0.5, u: 0.05 }, "rad/s", "SI", true).text).toBe("−28.6 ± 2.9 °/s");
  });

  it("throws RangeError on a value that is not finite", () => {
    expect(() => showMeasured({ value: Number.NaN, u: 1 }, "m")).toThrow(/finite value.*NaN/);
  });
});

describe("showExact", () => {
  it.each([
    [8e5, "Pa", "SI", 6, "8 bar"],
    [8e5, "Pa", "field", 6, "116.03 psi"],
    [0.381668, "m", "SI", 2, "0.38 m"],
    [0.381668, "m", "field", 2, "1.3 ft"],
    [263.15, "K", "SI", 3, "−10 °C"],
    [Math.PI / 15, "rad", "SI", 6, "12°"],
    [1.2, "1", "SI", 6, "1.2"],
  ] as const)("words %f %s for the %s set to %i digits as %s", (value, unit, set, digits, text) => {
    expect(showExact(value, unit, set, digits)).toBe(text);
  });

  it("throws RangeError on a value that is not finite", () => {
    expect(() => showExact(Infinity, "m")).toThrow(/finite value.*Infinity/);
  });
});
