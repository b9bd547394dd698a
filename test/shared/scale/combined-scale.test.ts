import { describe, expect, it } from "vitest";
import { createChance } from "../../../src/shared/quantity/chance.ts";
import { unwrap } from "../../../src/shared/quantity/result.ts";
import { combinedScale, type PlacedRod, scaleAtWeights } from "../../../src/shared/scale/combined-scale.ts";
import { twoPointScale } from "../../../src/shared/scale/two-point-scale.ts";

const rod = (
  px: number,
  metres: number,
  uM: number,
  uPx = 0.5,
  sameRod: string | null = null,
): PlacedRod => ({
  a: [100, 50],
  b: [100 + 0.6 * px, 50 + 0.8 * px],
  uPx,
  rodM: { value: metres, u: uM },
  sameRod,
});

describe("combinedScale", () => {
  it("is the single rod's scale when there is one rod", () => {
    const one = rod(500, 1.5, 0.003);
    const combined = unwrap(combinedScale([one]));
    const alone = unwrap(twoPointScale(one.a, one.b, one.rodM, one.uPx));
    expect(combined.scale.value).toBeCloseTo(alone.value, 15);
    expect(combined.scale.u / alone.u).toBeCloseTo(1, 12);
    expect(combined.agreement).toMatchObject({ degreesOfFreedom: 0, birge: 1, agree: true });
  });

  it("gives the case worked by hand: 3.00 and 3.03 mm/px with u 1 % and 2 % in the rods have weights 4 : 1", () => {
    const { scale, statedU, agreement, spread } = unwrap(
      combinedScale([rod(500, 1.5, 0.015, 0), rod(500, 1.515, 0.0303, 0)]),
    );
    expect(scale.value).toBeCloseTo(0.003006, 12);
    // u/s = 1/sqrt(1/0.01² + 1/0.02²)
    expect(statedU / scale.value).toBeCloseTo(0.02 / Math.sqrt(5), 12);
    // (3.03 - 3)² / (s² (0.01² + 0.02²))
    expect(agreement.chiSquare).toBeCloseTo((0.00003 / 0.003006) ** 2 / 5e-4, 9);
    expect(scale.u).toBe(statedU);
    expect(spread).toBeCloseTo(0.00003 / 0.003006, 12);
  });

  it("does not let placings of one rod average its length error away", () => {
    const four = (name: string | null) =>
      unwrap(combinedScale([1, 2, 3, 4].map((_) => rod(500, 1.5, 0.015, 0.1, name)))).scale;
    const own = (Math.SQRT2 * 0.1) / 500;
    expect(four("stick").u / 0.003).toBeCloseTo(Math.hypot(0.01, own / 2), 12);
    expect(four(null).u / 0.003).toBeCloseTo(Math.hypot(0.01, own) / 2, 12);
  });

  it("states a u that 4000 seeded sets of three rods scatter with, within 5 % (four standard errors)", () => {
    const chance = createChance(8);
    const [lengths, us] = [
      [1, 1.5, 0.5],
      [0.002, 0.004, 0.001],
    ];
    const shifts = Array.from({ length: 4000 }, () => {
      const rods = lengths.map((length, i) => {
        const px = length / 0.002;
        const noisy = () => 0.4 * chance.normal();
        return {
          a: [50 + noisy(), 60 + noisy()],
          b: [50 + px + noisy(), 60 + noisy()],
          uPx: 0.4,
          rodM: { value: length + us[i]! * chance.normal(), u: us[i]! },
          sameRod: null,
        } as const;
      });
      const { scale, statedU } = unwrap(combinedScale(rods));
      return (scale.value - 0.002) / statedU;
    });
    const rms = Math.sqrt(shifts.reduce((sum, x) => sum + x * x, 0) / shifts.length);
    expect(Math.abs(rms - 1)).toBeLessThan(0.05);
  });

  it("enlarges u by the Birge ratio where rods scatter, and says so when they disagree, naming the farthest", () => {
    const scattered = unwrap(
      combinedScale([rod(500, 1.5, 0.003), rod(500, 1.494, 0.003), rod(500, 1.506, 0.003)]),
    );
    expect(scattered.agreement.agree).toBe(true);
    expect(scattered.agreement.birge).toBeGreaterThan(1.5);
    expect(scattered.scale.u / scattered.statedU).toBeCloseTo(scattered.agreement.birge, 12);
    const combined = unwrap(
      combinedScale([rod(500, 1.5, 0.003), rod(500, 1.5, 0.003), rod(500, 1.515, 0.003)]),
    );
    expect(combined.agreement.agree).toBe(false);
    expect(combined.agreement.birge).toBeGreaterThan(2);
    expect(combined.scale.u / combined.statedU).toBeGreaterThan(combined.agreement.birge);
    const sizes = combined.rods.map((one) => Math.abs(one.deviation));
    expect(sizes.indexOf(Math.max(...sizes))).toBe(2);
  });

  it("reaches with k = 2 a rod that is far off, and two of its own u beyond: the tight one may be wrong", () => {
    // 3.00 ± 0.003 and 3.06 ± 0.0153 mm/px: weights 26 : 1, so the Birge ratio alone would leave ± 0.4 %
    const { scale, statedU, agreement } = unwrap(
      combinedScale([rod(500, 1.5, 0.0015, 0), rod(500, 1.53, 0.00765, 0)]),
    );
    expect(agreement.birge).toBeGreaterThan(3.5);
    expect(statedU / scale.value).toBeCloseTo(0.00098, 5);
    expect(scale.u).toBeCloseTo((0.00306 - scale.value) / 2 + 1.53e-5, 9);
  });

  it("with the weights held goes with each rod in proportion to its weight, agreeing or not", () => {
    const rods = [rod(500, 1.5, 0.003), rod(700, 2.1, 0.002)];
    const { scale, weights } = unwrap(combinedScale(rods));
    expect(weights[0]! + weights[1]!).toBeCloseTo(1, 12);
    expect(scaleAtWeights(rods, weights)).toBeCloseTo(scale.value, 12);
    const moved = [rods[0]!, { ...rods[1]!, rodM: { value: 4.2, u: 0.002 } }];
    expect(combinedScale(moved)).toMatchObject({ code: "rods-disagree" });
    expect(scaleAtWeights(moved, weights)! - scale.value).toBeCloseTo(0.003 * weights[1]!, 12);
    expect(scaleAtWeights([rods[0]!, { ...rods[1]!, b: rods[1]!.a }], weights)).toBeNull();
    expect(scaleAtWeights([rods[0]!, { ...rods[1]!, rodM: { value: 0, u: 1 } }], weights)).toBeNull();
  });

  it("refuses rods that cannot both be right, none at all, and picks too close together", () => {
    expect(combinedScale([rod(500, 1.5, 0.003), rod(400, 1.5, 0.003), rod(400.5, 1.5, 0.003)])).toMatchObject(
      {
        code: "rods-disagree",
        numbers: { rod: 0 },
      },
    );
    expect(combinedScale([])).toMatchObject({ code: "no-rods" });
    expect(combinedScale([rod(500, 1.5, 0.003), rod(5, 1.5, 0.003)])).toMatchObject({
      code: "too-close",
      numbers: { rod: 1, separationPx: expect.closeTo(5, 9) },
    });
  });

  it("throws RangeError on a rod without length", () => {
    expect(() => combinedScale([rod(500, 0, 0)])).toThrow(/L > 0/);
  });
});
