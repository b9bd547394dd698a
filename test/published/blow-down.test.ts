import { describe, expect, it } from "vitest";
import { storedEnergy } from "../../src/shared/launch/ram/stored-energy.ts";
import { unwrap } from "../../src/shared/quantity/result.ts";
import {
  type BlowDownInputs,
  blowDown,
  blowDownTimeConstant,
  chokedBlowDown,
  unchokingTime,
} from "../reference/blow-down.ts";
import { brodeEnergy, isothermalExergy, tntEquivalent } from "../reference/stored-energy-forms.ts";
import { speedFromWork, workBounds } from "../reference/work-bounds.ts";

// Emptying of a tank through a choked restriction: closed forms as in standard texts on compressible flow
// (e.g. B. W. Andersen, The Analysis and Design of Pneumatic Systems); figures past unchoking from scipy 1.10
// solve_ivp DOP853 at rtol 1e-12 (tools/reference/pneumatics.py).
const TANK: BlowDownInputs = {
  volumeM3: 3e-3,
  valve: { conductance: 2e-7, criticalRatio: 0.3 },
  startPa: 501325,
  startK: 293.15,
  airPa: 101325,
  gas: "adiabatic",
};
const SLOW: BlowDownInputs = { ...TANK, gas: "isothermal" };

describe("tank blow-down", () => {
  it("blowDownTimeConstant and unchokingTime give the closed forms", () => {
    expect(blowDownTimeConstant(TANK)).toBeCloseTo(0.150426884, 9);
    expect(unchokingTime(TANK)).toBeCloseTo(0.0436563415, 10);
    expect(unchokingTime(SLOW)).toBeCloseTo(0.0594108897, 10);
    expect(unwrap(chokedBlowDown(TANK, unchokingTime(TANK))).pressurePa).toBeCloseTo(337750, 6); // p_a/b
  });
  it("chokedBlowDown gives pressure, temperature and mass left after 20 ms", () => {
    const adiabatic = unwrap(chokedBlowDown(TANK, 0.02));
    expect(adiabatic.pressurePa).toBeCloseTo(417193.199, 3);
    expect(adiabatic.temperatureK).toBeCloseTo(278.160207, 6);
    expect(adiabatic.massRatio).toBeCloseTo(0.877026579, 9);
    expect(unwrap(chokedBlowDown(SLOW, 0.02)).pressurePa).toBeCloseTo(438912.306, 3);
  });
  it.each([
    ["adiabatic", 0.05, 319491.947],
    ["adiabatic", 0.1, 210239.108],
    ["adiabatic", 0.2, 112375.851],
    ["isothermal", 0.05, 359555.015],
    ["isothermal", 0.1, 258066.946],
    ["isothermal", 0.2, 139699.515],
  ] as const)("blowDown, %s, gives the reference pressure after %d s", (gas, timeS, pressurePa) => {
    expect(blowDown({ ...TANK, gas }, timeS).pressurePa).toBeCloseTo(pressurePa, 2);
  });
});

// C. E. Mungan, Eur. J. Phys. 30 (2009) 453, and Z. J. Rohrbach et al., Am. J. Phys. 80 (2012) 24, eqs 2 and
// 3.
it.each([
  [3e-3, 4e5, 0.041, 0.6, 1.6, [316.861035, 272.148869, 256.137371], [19.9016656, 18.4441342, 17.8933427]],
  [1e-3, 6e5, 0.032, 0.45, 0.9, [217.146884, 179.961044, 167.112574], [21.9669896, 19.9978357, 19.2707362]],
  [3e-3, 4e5, 0.041, 1.2, 0.25, [633.72207, 477.195176, 426.045029], [71.2023634, 61.7864177, 58.3811633]],
])(
  "workBounds of a %d m³ tank at %d Pa gives the closed-form bounds",
  (tankVolumeM3, gaugePa, bore, stroke, massKg, works, speeds) => {
    const bounds = workBounds({
      tankPa: gaugePa + 101325,
      airPa: 101325,
      tankVolumeM3,
      sweptVolumeM3: (Math.PI / 4) * bore ** 2 * stroke,
    });
    const got = [bounds.constantPressureJ, bounds.isothermalJ, bounds.adiabaticJ];
    got.forEach((work, i) => {
      expect(work).toBeCloseTo(works[i]!, 6);
      expect(speedFromWork(work, massKg)).toBeCloseTo(speeds[i]!, 6);
    });
  },
);

// ASME PCC-2 (2008), Article 5.1, Appendix II; H. L. Brode (1959). Air outside 101 325 Pa.
it.each([
  [3e-3, 4e5, 1378.82541, 3000, 1204.73784, 0.32314],
  [3e-3, 8e5, 3139.56934, 6000, 3509.62586, 0.73579],
  [10e-3, 6e5, 7445.21004, 15000, 7568.10157, 1.74487],
  [1, 10e5, 1360801.35, 2.5e6, 1627691.08, 318.919],
])(
  "storedEnergy of %d m³ at %d Pa gauge gives ASME PCC-2's energy and TNT, beside Brode's and the isothermal exergy",
  (volume, gauge, isentropic, brode, exergy, tntGrams) => {
    const p = gauge + 101325;
    expect(storedEnergy(p, volume, 101325) / isentropic).toBeCloseTo(1, 8);
    expect(brodeEnergy(p, volume, 101325) / brode).toBeCloseTo(1, 12);
    expect(isothermalExergy(p, volume, 101325) / exergy).toBeCloseTo(1, 8);
    const grams = 1000 * tntEquivalent(storedEnergy(p, volume, 101325));
    expect(Math.abs(grams - tntGrams)).toBeLessThanOrEqual(tntGrams > 100 ? 5e-4 : 5e-6); // the digits given
  },
);

it("isothermalExergy passes storedEnergy near 5.7 bar gauge, and Brode's stays above both", () => {
  const at = (gauge: number) => {
    const [p, pa] = [gauge + 101325, 101325];
    return [isothermalExergy(p, 1, pa), storedEnergy(p, 1, pa), brodeEnergy(p, 1, pa)] as const;
  };
  for (const gauge of [1e5, 5.6e5, 5.8e5, 12e5]) {
    const [exergy, isentropic, brode] = at(gauge);
    expect(exergy > isentropic).toBe(gauge > 5.7e5);
    expect(brode).toBeGreaterThan(Math.max(exergy, isentropic));
  }
});

it("storedEnergy agrees within 0.2 % with the equation as PCC-2 prints it, in rounded constants", () => {
  const p = 1e6 + 101000;
  const printed = 2.5 * p * (1 - (101000 / p) ** 0.286);
  expect(printed).toBeCloseTo(1362508.75, 2);
  expect(Math.abs(storedEnergy(p, 1, 101000) / printed - 1)).toBeLessThan(2e-3);
});
