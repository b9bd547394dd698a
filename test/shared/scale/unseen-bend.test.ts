import { describe, expect, it } from "vitest";
import { createChance } from "../../../src/shared/quantity/chance.ts";
import { project } from "../../../src/shared/scale/homography-map.ts";
import type { KnownPoint } from "../../../src/shared/scale/plane-homography.ts";
import { bendLeftOut, seenBend, straightened } from "../../../src/shared/scale/unseen-bend.ts";

const ABOUT = { centrePx: [960, 540], radiusPx: 1100 } as const;
const H = [820, 35, 110, -12, -790, 980, 0.031, -0.012] as const;
const PLACES = [
  [0, 0],
  [2, 0.1],
  [1.9, 1],
  [0.1, 1.1],
  [1.1, 0.4],
  [0.3, 0.6],
  [1.5, 0.9],
] as const;

/** Picked in a picture that straightening by k makes a view of the plane. */
function picked(
  k: number,
  uPx: number,
  chance: { normal(): number },
  count: number = PLACES.length,
): KnownPoint[] {
  return PLACES.slice(0, count).map((metres) => {
    const at = project(H, metres).at;
    let seen = at;
    for (let round = 0; round < 30; round++) {
      const [x, y] = straightened(ABOUT, k, seen);
      seen = [seen[0] + at[0] - x, seen[1] + at[1] - y];
    }
    return { px: [seen[0] + uPx * chance.normal(), seen[1] + uPx * chance.normal()], uPx, metres, uM: 0 };
  });
}

describe("straightened", () => {
  it("moves a place at the radius outwards by k of it, one halfway by an eighth of that, the centre not", () => {
    expect(straightened(ABOUT, 0.02, [960 + 1100, 540])).toEqual([expect.closeTo(2082, 9), 540]);
    expect(straightened(ABOUT, 0.02, [960, 540 - 550])).toEqual([960, expect.closeTo(-10 - 2.75, 9)]);
    expect(straightened(ABOUT, 0.02, [960, 540])).toEqual([960, 540]);
  });
});

describe("seenBend", () => {
  const still = { normal: () => 0 };

  it("finds the bend of exact picks, and none where there is none", () => {
    expect(seenBend(picked(-0.03, 0.2, still), ABOUT)!.k.value).toBeCloseTo(-0.03, 6);
    expect(seenBend(picked(0, 0.2, still), ABOUT)!.k.value).toBeCloseTo(0, 6);
  });

  it("states a u that 150 seeded sets scatter with, within 18 % (three standard errors)", () => {
    const chance = createChance(3);
    const sets = Array.from({ length: 150 }, () => seenBend(picked(0.01, 0.5, chance), ABOUT)!);
    const z = sets.map(({ k }) => (k.value - 0.01) / k.u);
    const rms = Math.sqrt(z.reduce((sum, one) => sum + one ** 2, 0) / z.length);
    expect(Math.abs(rms - 1)).toBeLessThan(0.18);
    const chi = sets.reduce((sum, one) => sum + one.chiSquare, 0) / sets.length;
    expect(sets[0]!.degreesOfFreedom).toBe(5);
    expect(Math.abs(chi - 5)).toBeLessThan(3 * Math.sqrt(10 / 150));
  });

  it("says nothing of four points, which fit any bend", () => {
    expect(seenBend(picked(0.01, 0.5, still, 4), ABOUT)).toBeNull();
    expect(seenBend(picked(0.01, 0.5, still, 5), ABOUT)!.degreesOfFreedom).toBe(1);
  });
});

describe("bendLeftOut", () => {
  it("is what lenses usually bend where nothing is seen, and nothing for a known lens that fits", () => {
    expect(bendLeftOut(null, 0.01)).toBe(0.01);
    expect(bendLeftOut(null, 0)).toBe(0);
    expect(bendLeftOut({ value: 0.003, u: 0.004 }, 0)).toBe(0);
  });

  it("is the bend that is seen where it is seen sharply, whatever is usual", () => {
    expect(bendLeftOut({ value: -0.05, u: 1e-4 }, 0.01)).toBeCloseTo(0.05, 5);
    expect(bendLeftOut({ value: 0, u: 1e-4 }, 0.01)).toBeCloseTo(1e-4, 7);
  });

  it("gives the case worked by hand: 0.01 ± 0.01 against 0.01 has mean 0.005 and variance 5e-5", () => {
    expect(bendLeftOut({ value: 0.01, u: 0.01 }, 0.01)).toBeCloseTo(Math.sqrt(7.5e-5), 12);
  });
});
