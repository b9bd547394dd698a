import { describe, expect, it } from "vitest";
import { exampleSession } from "../../../src/main/example/example-session.ts";
import { measureShot } from "../../../src/shared/measure/measure-shot.ts";

const { poses, curves } = measureShot(exampleSession(1), "shot-1", null).measurement!;

/** The fitted curve at a time of its own samples' range. */
function fitted(value: readonly number[], timeS: number): number {
  const after = curves.timeS.findIndex((t) => t >= timeS);
  if (after <= 0) return value[Math.max(after, 0)]!;
  const [t0, t1] = [curves.timeS[after - 1]!, curves.timeS[after]!];
  return value[after - 1]! + ((timeS - t0) / (t1 - t0)) * (value[after]! - value[after - 1]!);
}

describe("the pose that each frame shows by itself", () => {
  it("scatters about the fitted motion by its own u: as many beyond 1, 2 and 4 u as a normal error has", () => {
    const misses = poses.flatMap(({ timeS, positionM, positionU }) =>
      timeS < curves.timeS.at(-1)! ? [(positionM - fitted(curves.position.value, timeS)) / positionU!] : [],
    );
    const beyond = (u: number) => misses.filter((miss) => Math.abs(miss) > u).length / misses.length;
    expect(misses.length).toBeGreaterThan(100);
    // 0.317 and 0.046 of a normal error; three standard errors of a share of 100 or more, and a little
    // for what the fit takes up.
    expect(Math.abs(beyond(1) - 0.3)).toBeLessThan(0.15);
    expect(beyond(2)).toBeLessThan(0.12);
    expect(beyond(4)).toBe(0);
    expect(Math.abs(misses.reduce((sum, miss) => sum + miss, 0) / misses.length)).toBeLessThan(0.3);
  });

  it("has a pitch near the fitted one, on the same turn", () => {
    for (const { timeS, pitchRad } of poses) {
      if (pitchRad === null) continue;
      expect(Math.abs(pitchRad - fitted(curves.pitch.value, timeS))).toBeLessThan(0.1);
    }
  });
});
