import { describe, expect, it } from "vitest";
import { airDensity } from "../../../../src/shared/launch/air.ts";
import { flowRatio, signedFlow, valveFlow } from "../../../../src/shared/launch/ram/valve-flow.ts";
import fc from "../../../support/drawn-inputs.ts";

const VALVE = { conductance: 2e-7, criticalRatio: 0.3 };
const gas = fc.record({
  pressurePa: fc.double({ min: 5e4, max: 2e6, noNaN: true }),
  temperatureK: fc.double({ min: 220, max: 400, noNaN: true }),
});

describe("valveFlow", () => {
  it("gives C ρ0 p1 choked at the reference temperature: 2e-7 · 1.185 · 5e5 kg/s", () => {
    const from = { pressurePa: 5e5, temperatureK: 293.15 };
    expect(valveFlow(VALVE, from, { pressurePa: 1e5, temperatureK: 250 })).toBeCloseTo(0.1185, 12);
  });
  it("is mirrored exactly when the sides change places, and is 0 at equal pressures", () => {
    fc.assert(
      fc.property(gas, gas, (one, other) => {
        const there = valveFlow(VALVE, one, other);
        const back = valveFlow(VALVE, other, one);
        expect(there + back).toBeCloseTo(0, 12);
        if (one.pressurePa > other.pressurePa) expect(there).toBeGreaterThan(0);
        expect(valveFlow(VALVE, one, { ...other, pressurePa: one.pressurePa })).toBe(0);
      }),
    );
  });
  it("takes the temperature of the upstream side only", () => {
    const [high, low] = [6e5, 4e5];
    const at = (fromK: number, toK: number) =>
      valveFlow(VALVE, { pressurePa: high, temperatureK: fromK }, { pressurePa: low, temperatureK: toK });
    expect(at(300, 200)).toBe(at(300, 400));
    expect(at(300, 300) / at(1200, 300)).toBeCloseTo(2, 12);
    const reversed = signedFlow(VALVE.conductance, VALVE.criticalRatio, low, 200, low - high, 300);
    expect(reversed).toBeCloseTo(-at(300, 200), 12);
  });
  it("throws RangeError naming what is impossible", () => {
    const side = { pressurePa: 1e5, temperatureK: 300 };
    expect(() => valveFlow({ ...VALVE, conductance: -1 }, side, side)).toThrow(/conductance/);
    expect(() => valveFlow({ ...VALVE, criticalRatio: 1 }, side, side)).toThrow(/criticalRatio/);
    expect(() => valveFlow(VALVE, { ...side, temperatureK: 0 }, side)).toThrow(/0 K/);
  });
});

describe("flowRatio", () => {
  it("is 1 up to b, 0 at r = 1, the ellipse between, and smooth at b", () => {
    expect(flowRatio(0.9, 0.3)).toBe(1);
    expect(flowRatio(0, 0.3)).toBe(0);
    expect(flowRatio(1 - 0.65, 0.3)).toBeCloseTo(Math.sqrt(0.75), 12); // halfway: √(1 − ¼)
    expect(1 - flowRatio(0.7 - 1e-4, 0.3)).toBeLessThan(2e-8); // falls with the square of the distance
  });
  it("follows the root next to equal pressures, √(2(1−r)/(1−b)), to 3e-9 down to where the rounding starts", () => {
    for (const drop of [7e-5, 6.9e-5]) {
      const z = drop / 0.7;
      expect(Math.abs(flowRatio(drop, 0.3) / Math.sqrt(z * (2 - z)) - 1)).toBeLessThan(3e-9);
    }
    expect(flowRatio(1e-6, 0.3) / Math.sqrt(2e-6 / 0.7)).toBeCloseTo(1, 4);
  });
  it("is linear within 1e-8 of equal pressures, so that its slope is finite", () => {
    const slope = flowRatio(1e-13, 0.3) / 1e-13;
    // The fourth root bends by (z/1e-8)²/4, at z = 1.4e-11 by 5e-7.
    expect(Math.abs(flowRatio(1e-11, 0.3) / 1e-11 / slope - 1)).toBeLessThan(6e-7);
    expect(slope).toBeCloseTo(Math.sqrt(2) / 1e-4 / 0.7, 4);
  });
});

it("airDensity of the standard atmosphere is 1.225 kg/m³ (ISO 2533)", () => {
  expect(airDensity(101325, 288.15)).toBeCloseTo(1.225, 4);
  expect(() => airDensity(0, 288)).toThrow(RangeError);
});
