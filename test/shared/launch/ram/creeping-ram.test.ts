import { expect, it } from "vitest";
import { predictRam } from "../../../../src/shared/launch/ram/predict-ram.ts";
import type { RamInputs } from "../../../../src/shared/launch/ram/ram-inputs.ts";
import { unwrap } from "../../../../src/shared/quantity/result.ts";

/**
 * A feed lifts a large tank until its ram just moves: for a tenth of a second so slowly that the drop over
 * the rod side's vent is rounding, some 1e-8 Pa.
 */
const CREEPING: RamInputs = {
  tankVolumeM3: 3.545772451101925,
  gaugePressurePa: 33595.88623046875,
  airPressurePa: 101283.3571485291,
  temperatureK: 288.10358234845086,
  tankTemperatureK: 296,
  boreM: 0.036003357639270844,
  strokeM: 0.7813765105234943,
  deadVolumeM3: 0.00015365105813217446,
  valve: { conductance: 1.45e-7, criticalRatio: 0.28292996886450966 },
  openingS: 0.06727660667173241,
  moreValves: [{ valve: { conductance: 4e-8, criticalRatio: 0.28 }, openingS: 0.02, delayS: 0.01 }],
  leak: 4e-10,
  sealShare: 0.04,
  stribeckMPerS: 0.3,
  supplyGaugePa: 330000,
  feedConductance: 3e-8,
  dragAreaM2: 0.0061,
  headwindMPerS: 0,
  totalMassKg: 1.2593201340806335,
  looseMassKg: 0,
  angleRad: 0.41877014900939213,
  breakawayN: 31.63672023709742,
  slidingN: 17.5,
  viscousNsPerM: 6.90790209878554,
  rodChamber: {
    rodDiameterM: 0.012,
    volumeM3: 0.00004,
    vent: { conductance: 8e-8, criticalRatio: 0.45 },
  },
  gas: "polytropic",
  polytropicExponent: 1.25,
};

it("a drop that trembles about 0 where the flow law is rounded off does not stop the integration", () => {
  const { steps, stepEnds, exitSpeedMPerS } = unwrap(predictRam(CREEPING, { relTol: 1e-7 }));
  expect(steps.taken + steps.rejected).toBeLessThan(4000); // 12 588 with a stop at every change of sign
  expect(stepEnds().length).toBe(steps.taken + 1);
  expect(exitSpeedMPerS).toBeCloseTo(unwrap(predictRam(CREEPING, { relTol: 1e-9 })).exitSpeedMPerS, 5);
});
