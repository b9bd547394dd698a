import { describe, expect, it } from "vitest";
import { predictRam } from "../../src/shared/launch/ram/predict-ram.ts";
import type { RamPrediction } from "../../src/shared/launch/ram/ram-inputs.ts";
import { unwrap } from "../../src/shared/quantity/result.ts";
import { RAM_CASES } from "../shared/launch/ram/ram-cases.ts";

// Structure of the model: E. Richer & Y. Hurmuzlu, J. Dyn. Syst. Meas. Control 122 (2000) 416.
// Reference figures computed with scipy 1.10 solve_ivp DOP853, rtol 1e-12, by tools/reference/ram_cases.py;
// Radau at 1e-10 and LSODA at 1e-11 agree with them to 3e-10.

interface Reference {
  readonly startS: number;
  readonly exitSpeedMPerS: number;
  readonly exitS: number;
  readonly peakAccelerationMPerS2: number;
  readonly peakAccelerationS: number;
  readonly exitAccelerationMPerS2: number;
  readonly tankPaAtExit: number;
  readonly chamberPaAtExit: number;
  readonly tankKAtExit: number;
  readonly chamberKAtExit: number;
  readonly airPassedKg: number;
  readonly pistonWorkJ: number;
  readonly rodChamberPaAtExit?: number;
}

const REFERENCES: Readonly<Record<keyof typeof RAM_CASES, Reference>> = {
  baseline: {
    startS: 0.0012149143,
    exitSpeedMPerS: 14.119444,
    exitS: 0.075253266,
    peakAccelerationMPerS2: 302.47018,
    peakAccelerationS: 0.007779323,
    exitAccelerationMPerS2: 91.399488,
    tankPaAtExit: 374873.96,
    chamberPaAtExit: 314859.15,
    tankKAtExit: 269.78824,
    chamberKAtExit: 268.54067,
    airPassedKg: 3.3508392e-3,
    pistonWorkJ: 303.48814,
  },
  rodChamber: {
    startS: 0.0012149143,
    exitSpeedMPerS: 11.873341,
    exitS: 0.07759298,
    peakAccelerationMPerS2: 302.32139,
    peakAccelerationS: 0.0077702464,
    exitAccelerationMPerS2: -149.20462,
    tankPaAtExit: 372649.83,
    chamberPaAtExit: 321999.01,
    tankKAtExit: 269.32994,
    chamberKAtExit: 269.7421,
    airPassedKg: 3.4124338e-3,
    pistonWorkJ: 305.31552,
    rodChamberPaAtExit: 469770.88,
  },
  breakAway: {
    startS: 0.00383386,
    exitSpeedMPerS: 13.293473,
    exitS: 0.063414061,
    peakAccelerationMPerS2: 372.60854,
    peakAccelerationS: 0.0155337998,
    exitAccelerationMPerS2: 92.708551,
    tankPaAtExit: 516421.81,
    chamberPaAtExit: 326561.54,
    tankKAtExit: 268.6051,
    chamberKAtExit: 264.10439,
    airPassedKg: 1.6365434e-3,
    pistonWorkJ: 152.71476,
  },
  vertical: {
    startS: 0.00089929172,
    exitSpeedMPerS: 40.46186,
    exitS: 0.048933528,
    peakAccelerationMPerS2: 1692.3887,
    peakAccelerationS: 0.0078158606,
    exitAccelerationMPerS2: 207.6067,
    tankPaAtExit: 326652.98,
    chamberPaAtExit: 211362.18,
    tankKAtExit: 259.38072,
    chamberKAtExit: 253.11618,
    airPassedKg: 4.7111038e-3,
    pistonWorkJ: 456.37911,
  },
  isothermal: {
    startS: 0.0014374825,
    exitSpeedMPerS: 14.681882,
    exitS: 0.075021551,
    peakAccelerationMPerS2: 301.42101,
    peakAccelerationS: 0.0092001737,
    exitAccelerationMPerS2: 112.83953,
    tankPaAtExit: 407186.45,
    chamberPaAtExit: 344250.14,
    tankKAtExit: 293.15,
    chamberKAtExit: 293.15,
    airPassedKg: 3.3561495e-3,
    pistonWorkJ: 317.5928,
  },
  instantValve: {
    startS: 0,
    exitSpeedMPerS: 16.548932,
    exitS: 0.064911403,
    peakAccelerationMPerS2: 329.95351,
    // Five digits: the reference located this flat top by comparing values, which a double cannot do more
    // finely.
    peakAccelerationS: 4.3067e-5,
    exitAccelerationMPerS2: 167.65277,
    tankPaAtExit: 380938.96,
    chamberPaAtExit: 304501.34,
    tankKAtExit: 271.0282,
    chamberKAtExit: 264.19969,
    airPassedKg: 3.1834047e-3,
    pistonWorkJ: 299.35859,
  },
};

const HALF_SIXTH_DIGIT = 5e-6; // of a leading digit: half a unit of the sixth significant digit
const FIVE_DIGITS = 5e-5;

function close(actual: number, reference: number, half: number): void {
  const unit = reference === 0 ? 1 : 10 ** Math.floor(Math.log10(Math.abs(reference)));
  expect(Math.abs(actual - reference), `${actual} for ${reference}`).toBeLessThanOrEqual(half * unit);
}

describe.each(Object.entries(REFERENCES))("predictRam, case %s", (name, reference) => {
  const prediction = unwrap(predictRam(RAM_CASES[name as keyof typeof RAM_CASES]));
  it.each(Object.entries(reference))("gives %s to 6 significant digits", (field, value) => {
    const half = name === "instantValve" && field === "peakAccelerationS" ? FIVE_DIGITS : HALF_SIXTH_DIGIT;
    close(prediction[field as keyof RamPrediction] as number, value as number, half);
  });
});

it("predictRam gives the baseline's states along the stroke to 6 significant digits", () => {
  const prediction = unwrap(predictRam(RAM_CASES.baseline));
  const table = [
    [0.15, 0.036866289, 8.5939004, 457391.04, 420029.86],
    [0.3, 0.051860988, 11.28461, 425901.57, 374051.54],
    [0.45, 0.064196205, 12.962404, 398813.72, 340828.55],
  ] as const;
  for (const [x, t, v, tankPa, chamberPa] of table) {
    const state = prediction.at(t);
    // The times are rounded to 9 digits; at 13 m/s and 3000 Pa/ms that is far below the sixth digit.
    close(state.positionM, x, HALF_SIXTH_DIGIT);
    close(state.speedMPerS, v, HALF_SIXTH_DIGIT);
    close(state.tankPa, tankPa, HALF_SIXTH_DIGIT);
    close(state.chamberPa, chamberPa, HALF_SIXTH_DIGIT);
  }
});

// Logarithmic sensitivities of the baseline by ±1 %, from the same script at rtol 1e-11: of exit speed, of
// peak.
describe("predictRam has the reference's logarithmic sensitivities of the baseline", () => {
  const base = RAM_CASES.baseline;
  const valve = (change: object) => ({ valve: { ...base.valve, ...change } });
  it.each<readonly [string, (k: number) => object, number, number]>([
    ["gauge pressure", (k) => ({ gaugePressurePa: k * base.gaugePressurePa }), 0.58491719, 1.02178746],
    ["bore", (k) => ({ boreM: k * base.boreM }), 0.62694038, 1.99252272],
    ["mass", (k) => ({ totalMassKg: k * base.totalMassKg }), -0.3754779, -0.96438471],
    ["stroke", (k) => ({ strokeM: k * base.strokeM }), 0.2750899, 0],
    ["viscous friction", (k) => ({ viscousNsPerM: k * base.viscousNsPerM }), -0.13089354, -0.01744625],
    ["C", (k) => valve({ conductance: k * base.valve.conductance }), 0.12573414, 0.03216006],
    ["tank volume", (k) => ({ tankVolumeM3: k * base.tankVolumeM3 }), 0.10054862, 0.01473459],
    ["friction", (k) => ({ slidingN: 20 * k, breakawayN: 20 * k }), -0.02972236, -0.03800659],
    ["b", (k) => valve({ criticalRatio: k * base.valve.criticalRatio }), 0.0244717, 0.00813164],
    ["dead volume", (k) => ({ deadVolumeM3: k * base.deadVolumeM3 }), -0.00364972, -0.02345641],
    ["opening time", (k) => ({ openingS: k * base.openingS }), -0.0005558, -0.03215557],
  ])("%s", (_name, change, ofSpeed, ofPeak) => {
    const [up, down, middle] = [1.01, 0.99, 1].map((k) =>
      unwrap(predictRam({ ...base, ...change(k) }, { relTol: 1e-10 })),
    );
    const slope = (of: "exitSpeedMPerS" | "peakAccelerationMPerS2") =>
      (up![of] - down![of]) / (0.02 * middle![of]);
    expect(slope("exitSpeedMPerS")).toBeCloseTo(ofSpeed, 6);
    expect(slope("peakAccelerationMPerS2")).toBeCloseTo(ofPeak, 6);
  });
});

describe("predictRam with a valve growing without bound on 1 cm³ of dead volume, level and without friction", () => {
  // From the same script (scipy LSODA, rtol 1e-10). Its flow law is made linear above r = 0.999 for the sake
  // of stiffness, which matters the more the larger the valve: made linear above 0.99999 only, it gives
  // 17.887738 and 17.890609 for the last two.
  const speed = (conductance: number) =>
    unwrap(predictRam({ ...RAM_CASES.instantValve, valve: { conductance, criticalRatio: 0.3 } }))
      .exitSpeedMPerS;
  it.each([
    [2e-7, 16.548929, 3e-7],
    [1e-6, 17.815549, 6e-6],
    [5e-6, 17.885528, 1.3e-4],
    [2e-5, 17.889485, 7e-5],
    [5e-6, 17.887738, 1e-6],
    [2e-5, 17.890609, 1e-6],
  ])("C = %d gives %d m/s within what that law changes", (conductance, reference, within) => {
    expect(Math.abs(speed(conductance) / reference - 1)).toBeLessThan(within);
  });
  it("nears the adiabatic closed form, 17.8933427 m/s", () => {
    expect(speed(2e-5) / 17.8933427).toBeGreaterThan(0.9998);
    expect(speed(2e-5)).toBeLessThan(17.8933427);
  });
});
