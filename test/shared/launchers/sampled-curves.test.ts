import { expect, it } from "vitest";
import { sampledCurves, sampledStates } from "../../../src/shared/launchers/sampled-curves.ts";

// Pushed evenly at 8 m/s² for half a second: 1 m, 4 m/s.
const at = (t: number) => ({ positionM: 4 * t * t, speedMPerS: 8 * t, accelerationMPerS2: 8 });

it("samples a push from its start to its release, on the clock with 0 at release, no further than its travel", () => {
  const { timeS, position, speed, acceleration } = sampledCurves(sampledStates(at, 0.5), 0.5, 0.9999);
  expect([timeS[0], timeS.at(-1), timeS.length]).toEqual([-0.5, 0, 401]);
  expect([position[200], speed[200], acceleration[200]]).toEqual([0.25, 2, 8]);
  expect([position.at(-1), speed.at(-1)]).toEqual([0.9999, 4]);
});
