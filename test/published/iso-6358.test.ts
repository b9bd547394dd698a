import { expect, it } from "vitest";
import { valveFlow } from "../../src/shared/launch/ram/valve-flow.ts";

// ISO 6358:1989, clause 5. C = 2 dm³/(s·bar) = 2e-8 m³/(s·Pa), b = 0.3. 9 digits computed from the standard's
// formula by tools/reference/pneumatics.py.
const VALVE = { conductance: 2e-8, criticalRatio: 0.3 };
const side = (pressurePa: number, temperatureK = 293.15) => ({ pressurePa, temperatureK });

it.each([
  [1e5, 0.01185],
  [1.5e5, 0.01185],
  [2.5e5, 0.0113560309],
  [4.0e5, 0.0082932724],
  [4.9e5, 0.0028123855],
])("valveFlow from 5 bar to %d Pa gives ISO 6358's %d kg/s", (p2, q) => {
  expect(valveFlow(VALVE, side(5e5), side(p2))).toBeCloseTo(q, 10);
});

it("valveFlow goes with the inverse root of the upstream temperature (263.15 K)", () => {
  expect(valveFlow(VALVE, side(5e5, 263.15), side(1e5))).toBeCloseTo(0.0125072437, 10);
});

it("valveFlow gives a valve maker's worked example: C = 2, b = 0.3, 0.4 to 0.3 MPa gauge at 20 °C, 420 dm³/min read off a graph", () => {
  // The catalogue rounds the air outside to 0.1 MPa: 5 bar to 4 bar absolute. dm³/min ANR at 1.185 kg/m³.
  const litresPerMinute = (valveFlow(VALVE, side(5e5), side(4e5)) / 1.185) * 60e3;
  expect(litresPerMinute).toBeCloseTo(419.912527, 5);
  expect(Math.abs(litresPerMinute - 420)).toBeLessThan(5); // a graph is read to about 1 %
});
