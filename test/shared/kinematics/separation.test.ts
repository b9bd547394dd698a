import { describe, expect, it } from "vitest";
import { type Gap, separationTime } from "../../../src/shared/kinematics/separation.ts";
import { createChance } from "../../../src/shared/quantity/chance.ts";
import { unwrap } from "../../../src/shared/quantity/result.ts";

const JOIN = 0.0503;
/**
 * A rod 0.31 m ahead of the balance point until it is stopped: then it falls behind at
 * 9 m/s and slows further.
 */
function gaps(noise: number, seed: number): Gap[] {
  const chance = createChance(seed);
  return Array.from({ length: 60 }, (_, k) => {
    const timeS = k / 960;
    const after = Math.max(0, timeS - JOIN);
    return {
      timeS,
      gapM: 0.31 - 9 * after - 300 * after * after + noise * chance.normal(),
      u: noise || 1e-6,
    };
  });
}

describe("separationTime", () => {
  it("finds the instant between frames on exact gaps", () => {
    expect(unwrap(separationTime(gaps(0, 1))).value).toBeCloseTo(JOIN, 4);
  });

  it("holds the truth within 2 u in at least 90 of 100 seeded runs, and its u is below a quarter of a frame", () => {
    let inside = 0;
    for (let seed = 1; seed <= 100; seed++) {
      const { value, u } = unwrap(separationTime(gaps(0.6e-3, seed)));
      if (Math.abs(value - JOIN) <= 2 * u) inside++;
      expect(u).toBeLessThan(0.25 / 960);
    }
    expect(inside).toBeGreaterThanOrEqual(90);
  });

  it("refuses too few frames, and a rod that stays with the airframe, with the numbers", () => {
    expect(separationTime(gaps(0, 1).slice(0, 6))).toMatchObject({
      code: "too-few-frames",
      numbers: { needed: 9 },
    });
    expect(separationTime(gaps(1e-3, 1).slice(0, 40))).toMatchObject({ code: "no-separation" });
  });
});
