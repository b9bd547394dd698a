import type { RamInputs } from "../../../../src/shared/launch/ram/ram-inputs.ts";

/**
 * The six reference launches of the compressed-air ram, as inputs. They differ in tank, bore, valve,
 * angle, friction, rod chamber and heat exchange, so that no swapped or forgotten term gives the
 * right figures in all of them.
 */
const BASELINE: RamInputs = {
  tankVolumeM3: 3.0e-3,
  gaugePressurePa: 4.0e5,
  airPressurePa: 101325,
  temperatureK: 293.15,
  boreM: 0.041,
  strokeM: 0.6,
  deadVolumeM3: 40e-6,
  valve: { conductance: 2.0e-7, criticalRatio: 0.3 },
  openingS: 0.015,
  totalMassKg: 1.6,
  angleRad: (10 * Math.PI) / 180,
  breakawayN: 20,
  slidingN: 20,
  viscousNsPerM: 8,
  rodChamber: null,
  gas: "adiabatic",
};

export const RAM_CASES = {
  baseline: BASELINE,
  rodChamber: {
    ...BASELINE,
    rodChamber: {
      rodDiameterM: 0.016,
      volumeM3: 30e-6,
      vent: { conductance: 0.8e-7, criticalRatio: 0.35 },
    },
  },
  breakAway: {
    ...BASELINE,
    tankVolumeM3: 1.0e-3,
    gaugePressurePa: 6.0e5,
    boreM: 0.032,
    strokeM: 0.45,
    deadVolumeM3: 25e-6,
    valve: { conductance: 0.6e-7, criticalRatio: 0.25 },
    openingS: 0.03,
    totalMassKg: 0.9,
    angleRad: Math.PI / 4,
    breakawayN: 40,
    slidingN: 25,
    viscousNsPerM: 5,
  },
  vertical: {
    ...BASELINE,
    strokeM: 1.2,
    deadVolumeM3: 60e-6,
    valve: { conductance: 3.0e-7, criticalRatio: 0.3 },
    totalMassKg: 0.25,
    angleRad: Math.PI / 2,
    breakawayN: 10,
    slidingN: 10,
    viscousNsPerM: 2,
  },
  isothermal: { ...BASELINE, gas: "isothermal" },
  instantValve: {
    ...BASELINE,
    deadVolumeM3: 1e-6,
    openingS: 0,
    angleRad: 0,
    breakawayN: 0,
    slidingN: 0,
    viscousNsPerM: 0,
  },
} as const satisfies Record<string, RamInputs>;
