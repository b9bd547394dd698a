import { describe, expect, it } from "vitest";
import { type BlowDownInputs, blowDown, chokedBlowDown, unchokingTime } from "./blow-down.ts";
import { isentropicRatios, nozzleFlow } from "./isentropic.ts";
import { speedFromWork, workBounds } from "./work-bounds.ts";

const TANK: BlowDownInputs = {
  volumeM3: 2e-3,
  valve: { conductance: 1e-7, criticalRatio: 0.4 },
  startPa: 7e5,
  startK: 300,
  airPa: 1e5,
  gas: "adiabatic",
};

describe("blow-down", () => {
  it("blowDown agrees with the closed form while choked, adiabatic and isothermal", () => {
    for (const gas of ["adiabatic", "isothermal"] as const) {
      const inputs = { ...TANK, gas };
      const t = unchokingTime(inputs) * 0.9;
      const closed = chokedBlowDown(inputs, t);
      if (!closed.ok) throw new Error(closed.code);
      const integrated = blowDown(inputs, t);
      expect(integrated.pressurePa / closed.value.pressurePa).toBeCloseTo(1, 9);
      expect(integrated.temperatureK / closed.value.temperatureK).toBeCloseTo(1, 9);
      expect(integrated.massRatio / closed.value.massRatio).toBeCloseTo(1, 9);
    }
  });
  it("blowDown ends at the air outside and stays there", () => {
    expect(blowDown(TANK, 5).pressurePa).toBeCloseTo(1e5, 1);
  });
  it("chokedBlowDown refuses once the flow is not choked, with the time until which it was", () => {
    expect(chokedBlowDown(TANK, 10)).toEqual({
      ok: false,
      code: "not-choked",
      numbers: { untilS: unchokingTime(TANK) },
    });
    expect(unchokingTime({ ...TANK, startPa: 2e5 })).toBe(0);
    expect(unchokingTime({ ...TANK, valve: { conductance: 1e-7, criticalRatio: 0 } })).toBe(Infinity);
  });
  it("throws RangeError naming what is impossible", () => {
    expect(() => blowDown({ ...TANK, volumeM3: 0 }, 1)).toThrow(/volumeM3/);
    expect(() => blowDown({ ...TANK, startPa: 9e4 }, 1)).toThrow(/below the air outside/);
    expect(() => blowDown(TANK, -1)).toThrow(/timeS/);
    expect(() => chokedBlowDown(TANK, -1)).toThrow(/timeS/);
  });
});

describe("bounds and nozzle", () => {
  it("workBounds are ordered, and alike for a tank far larger than the cylinder", () => {
    const inputs = { tankPa: 5e5, airPa: 1e5, tankVolumeM3: 3e-3, sweptVolumeM3: 8e-4 };
    const { constantPressureJ, isothermalJ, adiabaticJ } = workBounds(inputs);
    expect(constantPressureJ).toBeGreaterThan(isothermalJ);
    expect(isothermalJ).toBeGreaterThan(adiabaticJ);
    const vast = workBounds({ ...inputs, tankVolumeM3: 3e3 });
    expect(vast.adiabaticJ / vast.constantPressureJ).toBeCloseTo(1, 6);
    expect(vast.isothermalJ / vast.constantPressureJ).toBeCloseTo(1, 6);
    expect(() => workBounds({ ...inputs, airPa: 0 })).toThrow(/airPa/);
    expect(() => speedFromWork(-1, 1)).toThrow(RangeError);
  });
  it("isentropicRatios and nozzleFlow throw RangeError on impossible inputs", () => {
    expect(() => isentropicRatios(0)).toThrow(/mach/);
    expect(() => isentropicRatios(1, 1)).toThrow(/gamma/);
    expect(() => nozzleFlow(1e-5, 1e5, 300, 2e5)).toThrow(RangeError);
  });
});
