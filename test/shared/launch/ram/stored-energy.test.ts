import { describe, expect, it } from "vitest";
import { measuredStoredEnergy, storedEnergy } from "../../../../src/shared/launch/ram/stored-energy.ts";

describe("stored energy", () => {
  it("storedEnergy is 0 at air pressure and adds over volumes", () => {
    expect(storedEnergy(1e5, 3e-3, 1e5)).toBeCloseTo(0, 12);
    expect(storedEnergy(5e5, 6e-3, 1e5)).toBeCloseTo(2 * storedEnergy(5e5, 3e-3, 1e5), 9);
    expect(() => storedEnergy(9e4, 3e-3, 1e5)).toThrow(RangeError);
  });
  it("measuredStoredEnergy carries the volume's relative u straight through", () => {
    const got = measuredStoredEnergy({ value: 4e5, u: 0 }, { value: 3e-3, u: 3e-5 }, { value: 101325, u: 0 });
    expect(got.value).toBeCloseTo(1378.82541, 5);
    expect(got.u).toBeCloseTo(13.7882541, 6);
  });
});
