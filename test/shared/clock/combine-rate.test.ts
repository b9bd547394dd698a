import { describe, expect, it } from "vitest";
import { combineRates } from "../../../src/shared/clock/combine-rate.ts";
import { createChance } from "../../../src/shared/quantity/chance.ts";
import { unwrap } from "../../../src/shared/quantity/result.ts";

describe("combineRates", () => {
  it("gives the case worked by hand: 240 ± 2 and 242 ± 1 are 241.6 ± 0.894", () => {
    const both = unwrap(
      combineRates([
        { value: 240, u: 2 },
        { value: 242, u: 1 },
      ]),
    );
    expect(both.captureRateHz.value).toBeCloseTo(241.6, 12);
    expect(both.captureRateHz.u).toBeCloseTo(Math.sqrt(0.8), 12);
    expect(both.weights[0]).toBeCloseTo(0.2, 12);
    expect(both.weights[1]).toBeCloseTo(0.8, 12);
    expect(both.chi2).toBeCloseTo(0.8, 12); // 2²/(4 + 1)
    // For two, both deviations are the difference over its own u, √5.
    expect(both.deviationsInU.map(Math.abs)).toEqual([
      expect.closeTo(2 / Math.sqrt(5), 12),
      expect.closeTo(2 / Math.sqrt(5), 12),
    ]);
    expect(both.doubts).toEqual([]);
  });

  it("leaves an error that two rates share in their mean: 240 and 242, each ± 1 Hz own and 1 % in common", () => {
    const errors = new Map([["rod", 0.01]]);
    const about = (value: number) => ({ value, u: Math.hypot(1, 0.01 * value), errors });
    const both = unwrap(combineRates([about(240), about(242)]));
    expect(both.captureRateHz.value).toBeCloseTo(241, 9);
    expect(both.captureRateHz.u).toBeCloseTo(Math.hypot(Math.SQRT1_2, 2.41), 9);
    expect(both.chi2).toBeCloseTo(2, 9); // 2²/(1 + 1): what is shared cannot part them
    const others = unwrap(combineRates([about(240), { ...about(242), errors: new Map([["tape", 0.01]]) }]));
    expect(others.captureRateHz.u / both.captureRateHz.u).toBeCloseTo(Math.SQRT1_2, 1);
  });

  it("takes a rate that is all shared, and throws where errors are larger than their rate's u", () => {
    const rate = (u: number, error: number) => ({ value: 240, u, errors: new Map([["rod", error]]) });
    expect(unwrap(combineRates([rate(2.4, 0.01), rate(2.4, 0.01)])).captureRateHz.u).toBeCloseTo(2.4, 6);
    expect(() => combineRates([rate(2.4, 0.011)])).toThrow(/need rates/);
  });

  it("hands one rate on as it is", () => {
    expect(unwrap(combineRates([{ value: 240, u: 0.5 }]))).toMatchObject({
      captureRateHz: { value: 240, u: 0.5 },
      weights: [1],
      chance: 1,
    });
  });

  it("widens u by the Birge ratio below 5 % chance, and says so", () => {
    // Two rates 2.5 u of their difference apart: chance 1.2 %.
    const apart = 2.5 * Math.SQRT2;
    const { captureRateHz, doubts, birgeRatio, chance } = unwrap(
      combineRates([
        { value: 240, u: 1 },
        { value: 240 + apart, u: 1 },
      ]),
    );
    expect(chance).toBeCloseTo(0.0124193, 6); // 2 (1 - Φ(2.5)), normal tables
    expect(birgeRatio).toBeCloseTo(2.5, 12);
    expect(captureRateHz.u).toBeCloseTo(2.5 / Math.SQRT2, 12);
    expect(doubts).toMatchObject([{ code: "rates-strain" }]);
  });

  it("refuses rates that disagree, naming the odd one and by how much: a file's 30 among 240s", () => {
    const refused = combineRates([
      { value: 240, u: 1 },
      { value: 30, u: 0.3 },
      { value: 239.4, u: 0.6 },
      { value: 240.3, u: 0.4 },
    ]);
    expect(refused).toMatchObject({ ok: false, code: "rates-disagree", numbers: { farthest: 1, dof: 3 } });
    const offHz = refused.ok ? 0 : (refused.numbers.offHz as number);
    expect(offHz).toBeCloseTo(-210, 0);
  });

  it("covers: 4000 seeded triples, refused in under 1 of 200, spread of the mean within 4 % of u", () => {
    const us = [2, 0.9, 0.5];
    const outcomes = Array.from({ length: 4000 }, (_, seed) => {
      const chance = createChance(seed);
      return combineRates(us.map((u) => ({ value: 240 + u * chance.normal(), u })));
    });
    const kept = outcomes.flatMap((one) => (one.ok ? [one.value.captureRateHz] : []));
    expect(4000 - kept.length).toBeLessThan(20);
    const u = 1 / Math.sqrt(1 / 4 + 1 / 0.81 + 1 / 0.25);
    const spread = Math.sqrt(kept.reduce((sum, one) => sum + (one.value - 240) ** 2, 0) / kept.length);
    expect(spread / u).toBeGreaterThan(0.96);
    expect(spread / u).toBeLessThan(1.04);
  });

  it("throws on none, and on a rate without u that would hide every check", () => {
    expect(() => combineRates([])).toThrow(/need rates/);
    expect(() => combineRates([{ value: 240, u: 0 }])).toThrow(/u > 0/);
  });
});
