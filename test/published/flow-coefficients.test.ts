import { describe, expect, it } from "vitest";
import {
  CONDUCTANCE_PER_CV,
  coefficientFrom,
  conductanceFrom,
  KV_PER_CV,
} from "../../src/shared/launch/ram/flow-coefficients.ts";
import { nozzleFlow } from "../reference/isentropic.ts";

// kg/m³ and K of the reference air in which ISO 6358 states C (ISO 8778).
const [RHO0, T0] = [1.185, 293.15];

// Pa; m³, US; kg/m³ at 60 °F, the water of the definition of Cv
const [PSI, GALLON, WATER] = [6894.757293, 3.785411784e-3, 999.016];

/**
 * m², area through which water at 1 psi would flow without loss at the rate of the coefficient: q/√(2 Δp/ρ).
 */
function effectiveAreaOfCv(cv: number): number {
  return (cv * (GALLON / 60)) / Math.sqrt((2 * PSI) / WATER);
}

describe("flow coefficients", () => {
  it("Kv over Cv is the 0.865 of IEC 60534-2-1, from the definitions: m³/h at 1 bar, US gal/min at 1 psi", () => {
    expect(KV_PER_CV).toBeCloseTo(0.865, 4); // 0.864978
  });

  it("effectiveAreaOfCv gives 16.9814 mm² for Cv = 1, water at 60 °F", () => {
    expect(effectiveAreaOfCv(1) * 1e6).toBeCloseTo(16.9814, 4);
  });

  it("an ideal nozzle has C = 0.00199194895 m³/(s·Pa) a m², after Saint-Venant and Wantzel", () => {
    const perArea = nozzleFlow(1, 1e5, T0, 0) / (RHO0 * 1e5);
    expect(perArea / 0.00199194895).toBeCloseTo(1, 8);
  });

  // What one Cv is in dm³/(s·bar), by each of the ways in use.
  const byArea = (nozzleFlow(effectiveAreaOfCv(1), 1e5, T0, 0) / (RHO0 * 1e5)) * 1e8;
  // IEC 60534-2-1, choked gas: W = (2/3) N6 Cv √(x_T p1 ρ1), kg/h, bar, kg/m³, N6 = 27.3,
  // the 2/3 rounded to 0.667.
  const byGasEquation = (xT: number) => ((0.667 * 27.3 * Math.sqrt(xT * RHO0)) / 3600 / RHO0) * 1e3;

  it("one Cv is 3.3826 dm³/(s·bar) by equal area, 3.8875 to 4.0240 by IEC 60534-2-1's gas equation", () => {
    expect(byArea).toBeCloseTo(3.3826, 4);
    expect(byGasEquation(0.7)).toBeCloseTo(3.8875, 4);
    expect(byGasEquation(0.72)).toBeCloseTo(3.9427, 4);
    expect(byGasEquation(0.75)).toBeCloseTo(4.024, 4);
  });

  it("conductanceFrom gives the middle of these, with a u that reaches past all of them", () => {
    const { value, u } = conductanceFrom("Cv", { value: 1, u: 0 });
    expect(value).toBe(CONDUCTANCE_PER_CV);
    for (const one of [byArea, 3.6, byGasEquation(0.7), byGasEquation(0.75)]) {
      expect(Math.abs(one * 1e-8 - value)).toBeLessThan(u);
    }
    expect(u / value).toBeCloseTo(0.1, 12);
  });

  it("conductanceFrom adds the coefficient's own u in squares, and a Kv is a Cv of 1/0.865 of its size", () => {
    const cv = conductanceFrom("Cv", { value: 2, u: 0.15 });
    expect(cv.value).toBeCloseTo(7.4e-8, 15);
    expect(cv.u).toBeCloseTo(Math.hypot(0.74e-8, 0.15 * 3.7e-8), 15);
    const kv = conductanceFrom("Kv", { value: 2 * KV_PER_CV, u: 0.15 * KV_PER_CV });
    expect(kv.value).toBeCloseTo(cv.value, 15);
    expect(kv.u).toBeCloseTo(cv.u, 15);
  });

  it("coefficientFrom gives back the coefficient; a conductance known better than the spread has u = 0 left for it", () => {
    for (const kind of ["Cv", "Kv"] as const) {
      const back = coefficientFrom(kind, conductanceFrom(kind, { value: 1.7, u: 0.2 }));
      expect(back.value).toBeCloseTo(1.7, 12);
      expect(back.u).toBeCloseTo(0.2, 10);
    }
    expect(coefficientFrom("Cv", { value: 3.7e-8, u: 1e-9 })).toEqual({ value: 1, u: 0 });
  });
});
