import { expect, it } from "vitest";
import { predictRam, predictRamPath } from "../../../../src/shared/launch/ram/predict-ram.ts";
import { unwrap } from "../../../../src/shared/quantity/result.ts";
import { RAM_CASES } from "./ram-cases.ts";

const REL_TOL = 1e-7;
const RESTING = { ...RAM_CASES.rodChamber, looseMassKg: 1.2 };
/** The airframe parts, coasts, and is caught up with. */
const CAUGHT_UP = {
  ...RESTING,
  angleRad: 0,
  viscousNsPerM: 30,
  valve: { conductance: 1e-8, criticalRatio: 0.3 },
  moreValves: [{ valve: { conductance: 2e-6, criticalRatio: 0.3 }, openingS: 0.005, delayS: 0.22 }],
};

for (const [name, inputs] of Object.entries({ ...RAM_CASES, RESTING, CAUGHT_UP })) {
  it(`is to the last bit where and as fast as the whole prediction says, at every time: ${name}`, () => {
    const whole = unwrap(predictRam(inputs, { relTol: REL_TOL }));
    const path = unwrap(predictRamPath(inputs, REL_TOL));
    expect([path.exitS, path.exitTravelM, path.exitSpeedMPerS]).toEqual([
      whole.exitS,
      whole.exitTravelM,
      whole.exitSpeedMPerS,
    ]);
    for (let i = -1; i <= 60; i++) {
      const timeS = (i / 57) * whole.exitS;
      const { positionM, speedMPerS } = whole.at(timeS);
      expect(path.at(timeS)).toEqual({ positionM, speedMPerS });
    }
  });
}

it("refuses and throws as the whole prediction does", () => {
  const shut = { ...RAM_CASES.baseline, breakawayN: 1e5 };
  expect(predictRamPath(shut, REL_TOL)).toEqual(predictRam(shut, { relTol: REL_TOL }));
  expect(predictRamPath(shut, REL_TOL)).toMatchObject({ ok: false, code: "never-moves" });
  expect(() => predictRamPath({ ...RAM_CASES.baseline, boreM: 0 }, REL_TOL)).toThrow(/boreM must be above 0/);
  expect(() => predictRamPath(RAM_CASES.baseline, 0.1)).toThrow(/relTol 0.1/);
});
