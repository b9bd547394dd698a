import { expect, it } from "vitest";
import {
  CURVES_OF_PUSH,
  curvesWhenAsked,
  sampledCurves,
  sampledStates,
} from "../../../src/shared/launchers/sampled-curves.ts";

// Pushed evenly at 8 m/s² for half a second: 1 m, 4 m/s.
const at = (t: number) => ({ positionM: 4 * t * t, speedMPerS: 8 * t, accelerationMPerS2: 8 });

it("samples a push from its start to its release, on the clock with 0 at release, no further than its travel", () => {
  const { timeS, position, speed, acceleration } = sampledCurves(sampledStates(at, 0.5), 0.5, 0.9999);
  expect([timeS[0], timeS.at(-1), timeS.length]).toEqual([-0.5, 0, 401]);
  expect([position[200], speed[200], acceleration[200]]).toEqual([0.25, 2, 8]);
  expect([position.at(-1), speed.at(-1)]).toEqual([0.9999, 4]);
});

it("works curves out once, when one is asked for, and gives them to spreads, copies and text as they are", () => {
  let made = 0;
  const curves = curvesWhenAsked(CURVES_OF_PUSH, () => {
    made++;
    return sampledCurves(sampledStates(at, 0.5), 0.5, 1);
  });
  const prediction = { ...{ curves, storedEnergyJ: null } };
  expect(made).toBe(0);
  const whole = sampledCurves(sampledStates(at, 0.5), 0.5, 1);
  expect(prediction.curves.speed).toEqual(whole.speed);
  expect(structuredClone(prediction.curves)).toEqual(whole);
  expect(JSON.parse(JSON.stringify(prediction.curves))).toEqual(whole);
  expect(made).toBe(1);
  expect("pitch" in curves).toBe(false);
});
