import { expect, it } from "vitest";
import { flowRatio } from "../../src/shared/launch/ram/valve-flow.ts";
import {
  chokedFlowFunction,
  idealCriticalRatio,
  isentropicRatios,
  nozzleFlow,
} from "../reference/isentropic.ts";

// NACA Report 1135 (1953), table for γ = 1.4: four printed digits of p/p0, ρ/ρ0, T/T0, A/A*.
it.each([
  [0.5, 0.843, 0.8852, 0.9524, 1.3398],
  [1, 0.5283, 0.6339, 0.8333, 1],
  [2, 0.1278, 0.23, 0.5556, 1.6875],
])("isentropicRatios at Mach %d gives the table of NACA Report 1135", (mach, p, rho, t, a) => {
  const ratios = isentropicRatios(mach);
  for (const [got, printed] of [
    [ratios.pressure, p],
    [ratios.density, rho],
    [ratios.temperature, t],
    [ratios.area, a],
  ] as const) {
    expect(Math.abs(got - printed)).toBeLessThanOrEqual(0.5001e-4);
  }
});

// The same relations to 8 digits, computed by tools/reference/pneumatics.py.
it.each([
  [0.3, 0.98231827, 0.9394697, 0.95638015, 2.03506526],
  [0.5, 0.95238095, 0.84301918, 0.88517013, 1.33984375],
  [0.8, 0.88652482, 0.65602162, 0.73999239, 1.03823],
  [1, 0.83333333, 0.52828179, 0.63393815, 1],
  [2, 0.55555556, 0.12780453, 0.23004815, 1.6875],
])("isentropicRatios at Mach %d gives 8 digits", (mach, t, p, rho, a) => {
  const ratios = isentropicRatios(mach);
  expect(ratios.temperature).toBeCloseTo(t, 8);
  expect(ratios.pressure).toBeCloseTo(p, 8);
  expect(ratios.density).toBeCloseTo(rho, 8);
  expect(ratios.area).toBeCloseTo(a, 8);
});

it("chokedFlowFunction and idealCriticalRatio give the textbook 0.6847 and 0.5283 for air", () => {
  expect(chokedFlowFunction()).toBeCloseTo(0.68473146, 8);
  expect(idealCriticalRatio()).toBeCloseTo(0.52828179, 8);
  // ṁ√T0/(A p0) of air with R = 287.05 J/(kg·K), as gas tables print it: 0.0404 √K·s/m
  expect(nozzleFlow(1, 1, 1, 0)).toBeCloseTo(0.0404149, 8);
});

// Saint-Venant & Wantzel (1839): 50 mm², 5 bar, 293.15 K.
it.each([
  [1e5, 0.05901149],
  [3e5, 0.05833787],
  [4e5, 0.04831886],
  [4.9e5, 0.01705071],
])("nozzleFlow to %d Pa gives Saint-Venant and Wantzel's %d kg/s", (back, q) => {
  expect(nozzleFlow(50e-6, 5e5, 293.15, back)).toBeCloseTo(q, 8);
});

it("flowRatio with b = 0.528 follows the ideal nozzle within 0.0017, as is known of ISO 6358's ellipse", () => {
  let most = 0;
  for (let r = 0.53; r < 0.999; r += 0.001) {
    const nozzle = nozzleFlow(1, 1e5, 300, r * 1e5) / nozzleFlow(1, 1e5, 300, 0);
    most = Math.max(most, Math.abs(flowRatio(1 - r, 0.528) - nozzle));
  }
  expect(most).toBeGreaterThan(0.001);
  expect(most).toBeLessThan(0.0017);
});
