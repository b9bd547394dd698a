import { describe, expect, it } from "vitest";
import { compareShot } from "../../../src/shared/compare/compare-shot.ts";
import { interpolate } from "../../../src/shared/compare/interpolate.ts";
import type { Quantity, Unit } from "../../../src/shared/quantity/measured.ts";
import type { Measurement, Prediction, QuantityName } from "../../../src/shared/results/shot-result.ts";

const quantity = (value: number, u: number, unit: Unit = "m/s"): Quantity => ({ value, u, unit, how: "" });
const flat = (value: readonly number[], u: number) => ({ value, u: value.map(() => u) });

/** Constant 200 m/s² for 70 ms, then coasting: x = ½at², seen from release `late` s after the model's. */
const A = 200;
const PUSH = 0.07;
const travel = (t: number) => {
  const since = t + PUSH;
  if (since <= 0) return 0;
  return since <= PUSH ? 0.5 * A * since ** 2 : 0.5 * A * PUSH ** 2 + A * PUSH * (since - PUSH);
};
const pace = (t: number) => A * Math.min(PUSH, Math.max(0, t + PUSH));

const MODEL_TIMES = Array.from({ length: 401 }, (_, i) => -0.08 + (0.08 * i) / 400);
const PREDICTION: Prediction = {
  quantities: { releaseSpeed: quantity(14.2, 0.1), stroke: quantity(0.5, 0.001, "m") },
  curves: {
    timeS: MODEL_TIMES,
    position: MODEL_TIMES.map(travel),
    speed: MODEL_TIMES.map(pace),
    acceleration: MODEL_TIMES.map((t) => (t > -PUSH ? A : 0)),
  },
  storedEnergyJ: { value: 1379, u: 20 },
};

function measurementOf(
  quantities: Partial<Record<QuantityName, Quantity>>,
  { late = 0, offsetM = 0 } = {},
): Measurement {
  const timeS = Array.from({ length: 31 }, (_, i) => -0.1 + 0.004 * i);
  return {
    quantities,
    budget: {},
    curves: {
      timeS,
      position: flat(
        timeS.map((t) => travel(t + late) + offsetM),
        0.001,
      ),
      speed: flat(
        timeS.map((t) => pace(t + late)),
        0.1,
      ),
      acceleration: flat(
        timeS.map((t) => (t > -PUSH && t <= 0 ? A : 0)),
        5,
      ),
      pitch: flat(
        timeS.map(() => 0),
        0.01,
      ),
      pitchRate: flat(
        timeS.map(() => 0),
        0.1,
      ),
    },
    poses: [],
    residuals: [],
    releaseClipS: 1.25,
    startClipS: 1.18,
    noiseRatio: 1,
    converged: true,
    scale: { value: 1.3e-3, u: 2e-6 },
    captureRateHz: { value: 960, u: 0.5 },
    clockChecks: [],
    releaseChecks: [],
    blurPx: null,
  };
}

describe("compareShot differences", () => {
  it("are predicted less measured with both uncertainties in squares, by hand: 14.2 ± 0.1 against 14.0 ± 0.05", () => {
    const { differences } = compareShot(measurementOf({ releaseSpeed: quantity(14, 0.05) }), PREDICTION);
    expect(differences).toHaveLength(1);
    const [speed] = differences;
    expect(speed!.name).toBe("releaseSpeed");
    expect(speed!.difference.value).toBeCloseTo(0.2, 12);
    expect(speed!.difference.u).toBeCloseTo(Math.hypot(0.1, 0.05), 12);
    expect(speed!.inU).toBeCloseTo(0.2 / Math.hypot(0.1, 0.05), 10);
    expect(speed!.relative.value).toBeCloseTo(0.2 / 14, 12);
    expect(speed!.relative.u).toBeCloseTo(Math.hypot(0.1 / 14, (14.2 * 0.05) / 14 ** 2), 12);
  });
  it("leave out what only one side has, what shares its inputs, and what has no uncertainty", () => {
    const prediction = {
      ...PREDICTION,
      quantities: {
        ...PREDICTION.quantities,
        stroke: quantity(0.5, 0, "m"),
        stallSpeed: quantity(8, 0.1),
        launchAngle: quantity(0.2, 0.01, "rad"),
      },
    };
    const measurement = measurementOf({
      releaseSpeed: quantity(14, 0.05),
      stroke: quantity(0.5, 0, "m"),
      stallSpeed: quantity(8, 0.1),
      pitchRateAtRelease: quantity(0.3, 0.02, "rad/s"),
    });
    expect(compareShot(measurement, prediction).differences.map(({ name }) => name)).toEqual([
      "releaseSpeed",
    ]);
  });
});

describe("compareShot, of contact", () => {
  const verdict = (stroke: Quantity) => compareShot(measurementOf({ stroke }), PREDICTION).verdict;
  it("names contact lost early where the push ended short of the model's by more than twice its u", () => {
    expect(verdict(quantity(0.41, 0.01, "m"))).toMatch(
      / The push ended after 0\.410? ± 0\.010? m of travel, the model's after 0\.5000? ± 0\.0010? m: contact was lost early\.$/,
    );
  });
  it("names contact that lasted longer, and neither where the two agree", () => {
    expect(verdict(quantity(0.53, 0.01, "m"))).toContain("contact lasted longer, as with a latch");
    expect(verdict(quantity(0.49, 0.01, "m"))).not.toContain("contact");
  });
});

describe("compareShot verdict", () => {
  const verdict = (speed: Quantity) =>
    compareShot(measurementOf({ releaseSpeed: speed }), PREDICTION).verdict;
  it("says fast or slow with the per cent beyond twice the uncertainty", () => {
    expect(verdict(quantity(13.38, 0.05))).toBe("The model is 6.1 ± 0.8 % fast.");
    expect(verdict(quantity(15.1, 0.05))).toBe("The model is 6.0 ± 0.7 % slow.");
  });
  it("says fast or slow and that it may be chance, between once and twice the uncertainty", () => {
    expect(verdict(quantity(14.02, 0.05))).toBe(
      "The model is 1.3 ± 0.8 % fast, no more than the uncertainties allow.",
    );
  });
  it("says they agree within once the uncertainty", () => {
    expect(verdict(quantity(14.16, 0.06))).toBe(
      "The model agrees with the footage: 0.3 ± 0.8 % difference in release speed.",
    );
    expect(verdict(quantity(14.25, 0.06))).toMatch(/agrees with the footage: −0\.\d+ ± 0\.8 %/);
  });
  it("does not call it agreement when the uncertainty is wide", () => {
    expect(verdict(quantity(13, 2))).toMatch(/^The uncertainty is too wide to tell: 9 ± 17 % difference/);
  });
  it("says so when one side gives no release speed", () => {
    expect(compareShot(measurementOf({}), PREDICTION).verdict).toMatch(/cannot be compared/);
  });
});

describe("compareShot residuals", () => {
  it("are 0 where model and footage are one motion, at the measured times both cover", () => {
    const { residuals, alignment } = compareShot(measurementOf({}), PREDICTION);
    expect(residuals.timeS[0]).toBeCloseTo(-0.08, 12);
    expect(residuals.timeS.at(-1)).toBeCloseTo(0, 12);
    expect(residuals.timeS).toHaveLength(21);
    // Linear interpolation errs by at most a h²/8 = 200 · (0.2 ms)²/8 = 1 µm.
    for (const r of residuals.position) expect(Math.abs(r)).toBeLessThan(1.1e-6);
    for (const r of residuals.speed) expect(Math.abs(r)).toBeLessThan(0.021);
    expect(alignment.offsetS).toBeCloseTo(1.25 - 0.08, 12);
    expect(alignment.how).toContain("measured release");
  });
  it("are predicted less measured: footage 10 mm ahead leaves −10 mm", () => {
    const { residuals } = compareShot(measurementOf({}, { offsetM: 0.01 }), PREDICTION);
    for (const r of residuals.position) expect(r).toBeCloseTo(-0.01, 5);
  });
  it("by least squares of position find a release that was marked 3 ms late, and say so", () => {
    const late = measurementOf({}, { late: 0.003 });
    const byRelease = compareShot(late, PREDICTION);
    expect(Math.max(...byRelease.residuals.position.map(Math.abs))).toBeGreaterThan(0.03);
    const { residuals, alignment } = compareShot(late, PREDICTION, { align: "position" });
    expect(Math.max(...residuals.position.map(Math.abs))).toBeLessThan(5e-6);
    expect(alignment.how).toBe(
      "least squares of position over the push, the model's end of the push 3.00 ms before the measured release",
    );
    expect(alignment.offsetS).toBeCloseTo(1.25 - 0.08 - 0.003, 6);
  });
});

it("interpolate is exact on straight lines and holds its ends", () => {
  const x = [0, 1, 3];
  const y = [1, 3, 7];
  for (const at of [0, 0.25, 1, 2.9, 3]) expect(interpolate(x, y, at)).toBeCloseTo(1 + 2 * at, 14);
  expect(interpolate(x, y, -5)).toBe(1);
  expect(interpolate(x, y, 9)).toBe(7);
  expect(interpolate([2], [5], 2)).toBe(5);
});
