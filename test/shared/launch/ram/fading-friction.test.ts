import { describe, expect, it } from "vitest";
import { fadingFriction } from "../../../../src/shared/launch/ram/fading-friction.ts";
import { predictRam } from "../../../../src/shared/launch/ram/predict-ram.ts";
import { unwrap } from "../../../../src/shared/quantity/result.ts";
import { RAM_CASES } from "./ram-cases.ts";

const RAM = { ...RAM_CASES.baseline, breakawayN: 60, slidingN: 15 };

describe("friction that fades from break-away to sliding", () => {
  it("is a Gaussian of speed, by hand: at the Stribeck speed 45 N / e is left of 45 N", () => {
    const { force, slope } = fadingFriction({ ...RAM, stribeckMPerS: 0.5 });
    expect(force(0)).toBe(45);
    expect(force(0.5)).toBeCloseTo(16.554575, 6);
    expect(force(1.5)).toBeCloseTo(45 * Math.exp(-9), 12);
    expect(slope(0.2)).toBeCloseTo((force(0.2 + 1e-6) - force(0.2 - 1e-6)) / 2e-6, 5);
  });

  it("is nothing without a Stribeck speed, or where break-away is not above sliding", () => {
    for (const none of [{}, { stribeckMPerS: 0 }, { stribeckMPerS: 1, breakawayN: 10 }]) {
      expect(fadingFriction({ ...RAM, ...none }).force(0.1)).toBe(0);
    }
    const speed = (more: object) => JSON.stringify(unwrap(predictRam({ ...RAM, ...more })));
    expect(speed({ stribeckMPerS: 0 })).toBe(speed({}));
  });

  it("lies between break-away falling at once and never falling, and takes longer the slower it falls", () => {
    const fading = [1e-6, 0.3, 1, 3, 1e7].map((stribeckMPerS) =>
      unwrap(predictRam({ ...RAM, stribeckMPerS })),
    );
    const never = unwrap(predictRam({ ...RAM, slidingN: 60 }));
    expect(fading[0]!.exitSpeedMPerS).toBeCloseTo(unwrap(predictRam(RAM)).exitSpeedMPerS, 5);
    expect(fading[4]!.exitSpeedMPerS).toBeCloseTo(never.exitSpeedMPerS, 6);
    const times = fading.map(({ exitS }) => exitS);
    expect(times).toEqual([...times].sort((a, b) => a - b));
    // Held back early, the piston meets a fuller chamber: what it loses in speed is less than the friction.
    expect(fading[3]!.exitSpeedMPerS).toBeLessThan(fading[0]!.exitSpeedMPerS);
    expect(fading[3]!.exitSpeedMPerS).toBeGreaterThan(never.exitSpeedMPerS);
  });
});
