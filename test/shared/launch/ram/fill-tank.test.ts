import { describe, expect, it } from "vitest";
import { fillTime, measuredFillTime } from "../../../../src/shared/launch/ram/fill-tank.ts";
import { unwrap } from "../../../../src/shared/quantity/result.ts";

const TASK = { tankVolumeM3: 3e-3, gaugePressurePa: 4e5, airPressurePa: 1e5 };
const PUMP = { by: "hand-pump", strokeVolumeM3: 2e-4, clearanceM3: 2e-5, strokesPerS: 0.5 } as const;

/** Strokes one by one: the pump's air is joined with the tank's, Boyle's law for both. */
function pressureAfter(strokes: number, clearanceM3: number): number {
  let pa = 1e5;
  for (let i = 0; i < strokes; i++) {
    pa = (pa * 3e-3 + 1e5 * (2e-4 + clearanceM3)) / (3e-3 + clearanceM3);
  }
  return pa;
}

describe("fillTime", () => {
  it("of a compressor is tank volume times gauge pressure over free air: 3 L at 4 bar by 0.5 L/s in 24 s", () => {
    expect(unwrap(fillTime(TASK, { by: "compressor", freeAirM3PerS: 5e-4 }))).toBeCloseTo(24, 12);
  });
  it("of a hand pump without clearance is strokes of equal gain: 12 L of air by 0.2 L are 60 strokes", () => {
    expect(unwrap(fillTime(TASK, { ...PUMP, clearanceM3: 0 }))).toBeCloseTo(60 / 0.5, 10);
    expect(unwrap(fillTime(TASK, { ...PUMP, clearanceM3: 1e-12 }))).toBeCloseTo(120, 5);
  });
  it("of a hand pump with clearance is what going stroke by stroke gives", () => {
    const strokes = unwrap(fillTime(TASK, PUMP)) * PUMP.strokesPerS;
    expect(strokes).toBeGreaterThan(60);
    expect(pressureAfter(Math.floor(strokes), 2e-5)).toBeLessThan(5e5);
    expect(pressureAfter(Math.ceil(strokes), 2e-5)).toBeGreaterThanOrEqual(5e5);
    const whole = { ...TASK, gaugePressurePa: pressureAfter(40, 2e-5) - 1e5 };
    expect(unwrap(fillTime(whole, PUMP)) * PUMP.strokesPerS).toBeCloseTo(40, 9);
  });
  it("refuses a pressure the clearance keeps out of reach, with the one it ends at: 0.2/0.06 times the air outside", () => {
    const result = fillTime(TASK, { ...PUMP, clearanceM3: 6e-5 });
    expect(result).toEqual({
      ok: false,
      code: "cannot-reach",
      numbers: { mostPa: expect.closeTo(1e5 / 0.3, 6) },
    });
    expect(pressureAfter(100_000, 6e-5) - 1e5).toBeCloseTo(1e5 / 0.3, 3);
  });
  it.each([
    ["tankVolumeM3", { ...TASK, tankVolumeM3: 0 }, PUMP],
    ["gaugePressurePa", { ...TASK, gaugePressurePa: -1 }, PUMP],
    ["airPressurePa", { ...TASK, airPressurePa: Number.NaN }, PUMP],
    ["strokeVolumeM3", TASK, { ...PUMP, strokeVolumeM3: 0 }],
    ["strokesPerS", TASK, { ...PUMP, strokesPerS: 0 }],
    ["clearanceM3", TASK, { ...PUMP, clearanceM3: -1e-6 }],
    ["freeAirM3PerS", TASK, { by: "compressor", freeAirM3PerS: Infinity } as const],
  ])("throws RangeError naming %s", (name, task, means) => {
    expect(() => fillTime(task, means)).toThrow(RangeError);
    expect(() => fillTime(task, means)).toThrow(name);
  });
});

describe("measuredFillTime", () => {
  const exactly = (value: number) => ({ value, u: 0 });
  const task = { tankVolumeM3: exactly(3e-3), gaugePressurePa: exactly(4e5), airPressurePa: exactly(1e5) };
  it("adds relative uncertainties in squares for a compressor", () => {
    const some = { ...task, tankVolumeM3: { value: 3e-3, u: 3e-5 } };
    const { value, u } = unwrap(
      measuredFillTime(some, { by: "compressor", freeAirM3PerS: { value: 5e-4, u: 1e-5 } }),
    );
    expect(value).toBeCloseTo(24, 10);
    expect(u / value).toBeCloseTo(Math.hypot(0.01, 0.02), 4);
  });
  it("carries the rate of a hand pump straight through", () => {
    const means = {
      by: "hand-pump",
      strokeVolumeM3: exactly(2e-4),
      clearanceM3: exactly(2e-5),
      strokesPerS: { value: 0.5, u: 0.01 },
    } as const;
    const { value, u } = unwrap(measuredFillTime(task, means));
    expect(value).toBeCloseTo(unwrap(fillTime(TASK, PUMP)), 10);
    expect(u / value).toBeCloseTo(0.02, 4);
  });
});
