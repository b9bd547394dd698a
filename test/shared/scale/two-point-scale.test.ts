import { expect, it } from "vitest";
import { createChance } from "../../../src/shared/quantity/chance.ts";
import { unwrap } from "../../../src/shared/quantity/result.ts";
import { twoPointScale } from "../../../src/shared/scale/two-point-scale.ts";

// 3-4-5: d = 500 px, s = 3 mm/px
const [a, b, rodM] = [[100, 40], [400, 440], { value: 1.5, u: 0.003 }] as const;
const u = 0.003 * Math.sqrt(0.002 ** 2 + 2 * 0.001 ** 2); // by hand, for picks good to 0.5 px

it("gives the case worked by hand, whichever end is picked first", () => {
  const s = unwrap(twoPointScale(a, b, rodM, 0.5));
  expect(s).toEqual({ value: 0.003, u: expect.closeTo(u, 15) });
  expect(unwrap(twoPointScale(b, a, rodM, 0.5))).toEqual(s);
});

it("agrees with 20 000 seeded noisy picks to 2 %, four standard errors of a sample sd", () => {
  const chance = createChance(3);
  const n = 20_000;
  const noisy = () => 0.5 * chance.normal();
  const values = Array.from({ length: n }, () => {
    const rod = { value: 1.5 + 0.003 * chance.normal(), u: 0.003 };
    return unwrap(twoPointScale([100 + noisy(), 40 + noisy()], [400 + noisy(), 440 + noisy()], rod, 0.5))
      .value;
  });
  const mean = values.reduce((sum, x) => sum + x, 0) / n;
  const sd = Math.sqrt(values.reduce((sum, x) => sum + (x - mean) ** 2, 0) / (n - 1));
  expect(Math.abs(sd / u - 1)).toBeLessThan(0.02);
});

it("refuses two clicks on one spot, naming the separation that would do", () => {
  expect(twoPointScale([10, 10], [13, 14], rodM, 0.5)).toEqual({
    ok: false,
    code: "too-close",
    numbers: { separationPx: 5, neededPx: expect.closeTo(7.0710678, 6) },
  });
});

it("throws RangeError on a caller's bug, with the value received", () => {
  expect(() => twoPointScale(a, b, { value: 0, u: 0 }, 0.5)).toThrow(/L > 0.*0, 0, 0.5/);
  expect(() => twoPointScale([Number.NaN, 0], b, rodM, 0.5)).toThrow(RangeError);
});
