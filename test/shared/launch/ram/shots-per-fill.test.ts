import { describe, expect, it } from "vitest";
import { predictRam } from "../../../../src/shared/launch/ram/predict-ram.ts";
import {
  gaugeAfterShot,
  MOST_SHOTS,
  shotsPerFill,
} from "../../../../src/shared/launch/ram/shots-per-fill.ts";
import { unwrap } from "../../../../src/shared/quantity/result.ts";
import { RAM_CASES } from "./ram-cases.ts";

const inputs = RAM_CASES.baseline;
const first = unwrap(predictRam(inputs));
const shots = (least: number) => shotsPerFill(inputs, first, least, 1e-8);

describe("gaugeAfterShot", () => {
  it("is what the air left gives at the temperature outside: 3.3508392 g of 3 L leave 94.0 kPa less", () => {
    expect(gaugeAfterShot(inputs, first)).toBeCloseTo(4e5 - (3.3508392e-3 * 287.05 * 293.15) / 3e-3, 1);
  });
});

describe("gaugeAfterShot of a tank that was just filled", () => {
  it("counts what cools down: 501.3 kPa at 310 K are 474.1 kPa at 293.15 K, before the shot takes its air", () => {
    const warm = { ...inputs, tankTemperatureK: 310 };
    const shot = unwrap(predictRam(warm));
    const settled = (501325 * 293.15) / 310 - 101325;
    expect(gaugeAfterShot(warm, shot)).toBeCloseTo(settled - (shot.airPassedKg * 287.05 * 293.15) / 3e-3, 6);
  });
});

describe("shotsPerFill", () => {
  it("counts whole shots where a shot's speed is the least, and falls by one past it", () => {
    const speeds = [first.exitSpeedMPerS];
    for (let now: typeof inputs | { gaugePressurePa: number } = inputs, shot = first; speeds.length < 4; ) {
      now = { ...inputs, gaugePressurePa: gaugeAfterShot({ ...inputs, ...now }, shot) };
      shot = unwrap(predictRam({ ...inputs, ...now }));
      speeds.push(shot.exitSpeedMPerS);
    }
    speeds.forEach((speed, i) => {
      expect(shots(speed * (1 - 1e-9))).toBeCloseTo(i + 1, 5);
      if (i > 0) expect(shots(speed * (1 + 1e-6))).toBeCloseTo(i + 1, 4);
    });
    expect(shots((speeds[1]! + speeds[2]!) / 2)).toBeCloseTo(2.5, 6);
  });
  it("is 0 where the first is too slow, and counts a shot that does not come off as one of no speed", () => {
    expect(shots(first.exitSpeedMPerS * 1.001)).toBe(0);
    const small = { ...inputs, tankVolumeM3: 8e-4, breakawayN: 250 };
    const only = unwrap(predictRam(small));
    const next = predictRam({ ...small, gaugePressurePa: gaugeAfterShot(small, only) });
    expect(next.ok).toBe(false);
    expect(shotsPerFill(small, only, 0.5 * only.exitSpeedMPerS, 1e-8)).toBeCloseTo(1.5, 6);
  });
  it("stops counting at the most", () => {
    const vast = { ...inputs, tankVolumeM3: 1 };
    expect(shotsPerFill(vast, unwrap(predictRam(vast)), 1, 1e-6)).toBe(MOST_SHOTS);
  });
});
