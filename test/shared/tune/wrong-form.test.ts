import { describe, expect, it } from "vitest";
import { predictRam } from "../../../src/shared/launch/ram/predict-ram.ts";
import { unwrap } from "../../../src/shared/quantity/result.ts";
import { studyRun } from "../../bench/tuning/study.ts";
import type { StudyForm } from "../../bench/tuning/study-shots.ts";
import { type RealRam, realPush } from "../../reference/real-ram.ts";

/** Some seeds of the study; `npm run bench:truth -- --tuning 20` runs it whole. */
const SEEDS = [1, 2, 3];

function some(form: StudyForm) {
  const runs = SEEDS.map((seed) => studyRun(seed, form));
  const inU = runs.flatMap(({ tuned }) => tuned.map((one) => one.inU));
  return {
    runs,
    inU,
    within2u: inU.filter((z) => Math.abs(z) <= 2).length / inU.length,
    inside: runs.flatMap(({ predictions }) => predictions).filter(({ inside }) => inside).length,
  };
}

describe("the ram that the study is made with", () => {
  it("is the product's as long as nothing is added to it", () => {
    const ram: RealRam = {
      tankVolumeM3: 3.1e-3,
      gaugePressurePa: 3.5e5,
      airPressurePa: 1.006e5,
      temperatureK: 289,
      boreM: 0.038,
      strokeM: 0.72,
      deadVolumeM3: 1.1e-4,
      conductance: 1.4e-7,
      criticalRatio: 0.3,
      openingS: 0.03,
      totalMassKg: 1.25,
      angleRad: 0.35,
      breakawayN: 25,
      slidingN: 18,
      viscousNsPerM: 4,
      leakShare: 0.12,
      filmWPerM2K: 0,
      smoothOpening: false,
      stribeckMPerS: 0,
      dragAreaM2: 0,
    };
    const { conductance, criticalRatio, leakShare, ...plain } = ram;
    const valve = { conductance, criticalRatio };
    for (const share of [0, leakShare]) {
      const ours = unwrap(
        predictRam({ ...plain, valve, leak: share * conductance, rodChamber: null, gas: "adiabatic" }),
      );
      const theirs = realPush({ ...ram, leakShare: share });
      expect(theirs.exitSpeedMPerS / ours.exitSpeedMPerS).toBeCloseTo(1, 4);
      expect(theirs.exitS / ours.exitS).toBeCloseTo(1, 3);
    }
  });
});

describe("tuning on shots of another form than the model's", () => {
  it("finds a leak that nobody stated, and keeps the other inputs true beside it", () => {
    const { runs, within2u, inU, inside } = some("leak");
    for (const { found, study } of runs) {
      const [leak] = found.tuning.unstated;
      expect(leak?.present).toBe(true);
      const truth = 0.12 * study.truth.get("valve.conductance")!;
      expect(Math.abs(leak!.found.value - truth)).toBeLessThan(3 * leak!.found.u);
    }
    // Without the leak among the unknowns opening time and frictions lay 6 u off as a root mean square.
    expect(Math.hypot(...inU) / Math.sqrt(inU.length)).toBeLessThan(1.7);
    expect(within2u).toBeGreaterThanOrEqual(0.8);
    expect(inside).toBeGreaterThanOrEqual(8);
  });

  it("holds what differs from shot to shot in the uncertainty of the tuned values", () => {
    const { runs, inU, inside } = some("scatter");
    for (const { found } of runs) expect(found.tuning.scatter).toBeGreaterThan(0);
    expect(Math.hypot(...inU) / Math.sqrt(inU.length)).toBeLessThan(1.5);
    expect(inside).toBeGreaterThanOrEqual(8);
  });

  it("takes nothing for there that is not, where model and shots are of one form", () => {
    const { runs, within2u, inside } = some("matched");
    for (const { found } of runs)
      expect(found.tuning.unstated.map(({ present }) => present)).toEqual([false]);
    expect(within2u).toBeGreaterThanOrEqual(0.9);
    expect(inside).toBeGreaterThanOrEqual(8);
  });
});
