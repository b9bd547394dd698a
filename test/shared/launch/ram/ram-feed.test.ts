import { describe, expect, it } from "vitest";
import { AIR_GAS_CONSTANT } from "../../../../src/shared/launch/air.ts";
import { predictRam } from "../../../../src/shared/launch/ram/predict-ram.ts";
import { FEED_CRITICAL_RATIO, ramFeed } from "../../../../src/shared/launch/ram/ram-feed.ts";
import { gaugeAfterShot } from "../../../../src/shared/launch/ram/shots-per-fill.ts";
import { valveFlow } from "../../../../src/shared/launch/ram/valve-flow.ts";
import { unwrap } from "../../../../src/shared/quantity/result.ts";
import { RAM_CASES } from "./ram-cases.ts";

const RAM = { ...RAM_CASES.baseline, tankVolumeM3: 5e-4 };
const FEED = { supplyGaugePa: 4e5, feedConductance: 1e-7 };
const run = (more: object) => unwrap(predictRam({ ...RAM, ...more }));

describe("a tank that is fed during the shot", () => {
  it("takes from its supply what a valve of ISO 6358 passes, and gives nothing back", () => {
    const { flow, supplyPa } = ramFeed({ ...RAM, ...FEED })!;
    const { temperatureK } = RAM;
    const valve = { conductance: 1e-7, criticalRatio: FEED_CRITICAL_RATIO };
    for (const pressurePa of [1e5, 3e5, 4.9e5]) {
      const q = valveFlow(valve, { pressurePa: supplyPa, temperatureK }, { pressurePa, temperatureK });
      expect(flow(pressurePa)).toBeCloseTo(q, 12);
    }
    // choked: C ρ0 p_s √(T0/T), with T the reference temperature of 20 °C
    expect(flow(1e5)).toBeCloseTo(1e-7 * 1.185 * supplyPa * Math.sqrt(293.15 / temperatureK), 12);
    expect(flow(supplyPa)).toBe(0);
    expect(flow(6e5)).toBe(0);
  });

  it("keeps its account of air: what is left is what there was, less what passed, more what was fed", () => {
    const shot = run({ ...FEED, gas: "isothermal" });
    const { airPressurePa: pa, tankVolumeM3: volume, temperatureK } = RAM;
    const kg = (pressurePa: number) => (pressurePa * volume) / (AIR_GAS_CONSTANT * temperatureK);
    const { airFedKg, airPassedKg } = shot.ramEnd;
    expect(airFedKg).toBeGreaterThan(1e-3 * airPassedKg);
    expect(kg(shot.tankPaAtExit)).toBeCloseTo(kg(RAM.gaugePressurePa + pa) - airPassedKg + airFedKg, 9);
    const inputs = { ...RAM, ...FEED, gas: "isothermal" as const };
    expect(gaugeAfterShot(inputs, shot)).toBeCloseTo(shot.tankPaAtExit - pa, 1);
  });

  it("is as without a feed where conductance or supply is left out or 0", () => {
    const plain = JSON.stringify(run({}));
    for (const none of [{ supplyGaugePa: 4e5 }, { feedConductance: 1e-7 }, { ...FEED, feedConductance: 0 }]) {
      expect(JSON.stringify(run(none))).toBe(plain);
    }
  });

  it("comes between its own small tank and one that does not run out", () => {
    const speeds = [0, 1e-8, 1e-7, 1e-6].map(
      (feedConductance) => run({ ...FEED, feedConductance }).exitSpeedMPerS,
    );
    expect(speeds).toEqual([...speeds].sort((a, b) => a - b));
    expect(speeds[3]).toBeLessThan(run({ tankVolumeM3: 1 }).exitSpeedMPerS);
  });

  it("moves what its own tank is too weak for", () => {
    const weak = { gaugePressurePa: 2e4, breakawayN: 60 };
    expect(predictRam({ ...RAM, ...weak })).toMatchObject({ ok: false, code: "never-moves" });
    expect(run({ ...weak, ...FEED }).exitSpeedMPerS).toBeGreaterThan(1);
  });
});
