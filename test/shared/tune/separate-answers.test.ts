import { expect, it } from "vitest";
import type { PushTrack } from "../../../src/shared/measure/push-track.ts";
import { createChance } from "../../../src/shared/quantity/chance.ts";
import { unwrap } from "../../../src/shared/quantity/result.ts";
import type { Measurement } from "../../../src/shared/results/shot-result.ts";
import { tuneLauncher } from "../../../src/shared/tune/tune-launcher.ts";
import type { ShotToTune } from "../../../src/shared/tune/tuned-shot.ts";

const TRAVEL_M = 1;
const NOISE_M = 4e-4;

/**
 * Shots of an invented launcher that pushes evenly over a metre, with an acceleration that its inputs
 * "strength" and "skew" give: the same for a skew to either side where `isEven`.
 */
function shots(isEven: boolean, skew: number, stated: number): readonly ShotToTune[] {
  const chance = createChance(11);
  const push = ([strength = 0, at = 0]: readonly number[]) => strength * (1 + 0.3 * (isEven ? at * at : at));
  const curve = (values: readonly number[]) => {
    const a = push(values);
    if (!(a > 0)) return null;
    return {
      exitS: Math.sqrt((2 * TRAVEL_M) / a),
      exitTravelM: TRAVEL_M,
      exitSpeedMPerS: Math.sqrt(2 * a * TRAVEL_M),
      slowingMPerS2: 0,
      at: (t: number) => ({ travelM: (a * t * t) / 2, speedMPerS: a * t }),
    };
  };
  const model = {
    inputs: [
      { name: "strength", value: 100, u: 0.5, of: "launcher", low: 0 } as const,
      { name: "skew", value: stated, u: 1, of: "launcher" } as const,
    ],
    predict: curve,
  };
  return [0, 1, 2].map((shot) => {
    const { exitS, at } = curve([100, skew])!;
    const points = Array.from({ length: 40 }, (_, i) => {
      const timeS = (i * exitS) / 39;
      const { travelM, speedMPerS } = at(timeS);
      return { timeS, travelM: travelM + NOISE_M * chance.normal(), u: NOISE_M, speedMPerS };
    });
    const track: PushTrack = {
      shotId: `shot-${shot + 1}`,
      points,
      common: [],
      directionRad: 0,
      startS: 0,
      releaseS: exitS,
      measurement: { quantities: {}, budget: {} } as unknown as Measurement,
    };
    return { track, model };
  });
}

it("finds both answers of a model that gives the same for an input to either side, the nearer to what was stated first", () => {
  const { inputs, rivals } = unwrap(tuneLauncher(shots(true, 1.2, 0.1), ["skew"]));
  const skew = inputs.find(({ name }) => name === "skew")!.tuned;
  expect(Math.abs(skew.value - 1.2)).toBeLessThan(2.5 * skew.u);
  expect(rivals).toHaveLength(1);
  const other = rivals[0]!.inputs.find(({ name }) => name === "skew")!;
  expect(other.moved).toBe(true);
  expect(Math.abs(other.tuned.value + 1.2)).toBeLessThan(2.5 * other.tuned.u);
  expect(rivals[0]!.more).toBeLessThan(4);
});

it("names no answer that what was stated rules out", () => {
  // the other side lies 4.2 of its u from what was stated, this one 1.8: a chi-square of 14
  const { rivals } = unwrap(tuneLauncher(shots(true, 1.2, 3), ["skew"]));
  expect(rivals).toEqual([]);
});

it("finds one where there is one", () => {
  expect(unwrap(tuneLauncher(shots(false, 1.2, 0.1), ["skew"])).rivals).toEqual([]);
});
