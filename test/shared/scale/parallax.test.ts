import { describe, expect, it } from "vitest";
import { createChance } from "../../../src/shared/quantity/chance.ts";
import { unwrap } from "../../../src/shared/quantity/result.ts";
import { scaleOnFlightPlane } from "../../../src/shared/scale/parallax.ts";

const exact = (value: number) => ({ value, u: 0 });

describe("scaleOnFlightPlane", () => {
  it("is 2 % smaller for a flight 0.10 m nearer at 5 m, larger for one farther", () => {
    expect(unwrap(scaleOnFlightPlane(exact(0.002), exact(5), exact(0.1)))).toEqual({
      value: expect.closeTo(0.00196, 15),
      u: 0,
    });
    expect(unwrap(scaleOnFlightPlane(exact(0.002), exact(5), exact(-0.1))).value).toBeCloseTo(0.00204, 15);
  });

  it("scatters as stated when scale, distance and offset are all uncertain, within 3 % in 20 000 seeded draws", () => {
    const chance = createChance(21);
    const [s, z, dz] = [
      { value: 0.002, u: 4e-6 },
      { value: 5, u: 0.2 },
      { value: 0.4, u: 0.02 },
    ];
    const draw = ({ value, u }: { value: number; u: number }) => exact(value + u * chance.normal());
    const values = Array.from(
      { length: 20_000 },
      () => unwrap(scaleOnFlightPlane(draw(s), draw(z), draw(dz))).value,
    );
    const mean = values.reduce((sum, x) => sum + x, 0) / values.length;
    const sd = Math.sqrt(values.reduce((sum, x) => sum + (x - mean) ** 2, 0) / values.length);
    expect(Math.abs(sd / unwrap(scaleOnFlightPlane(s, z, dz)).u - 1)).toBeLessThan(0.03);
  });

  it("refuses planes more than half the distance apart and throws without a distance", () => {
    expect(scaleOnFlightPlane(exact(0.002), exact(5), exact(2.6))).toMatchObject({
      code: "planes-too-far-apart",
      numbers: { nearerM: 2.6, limitM: 2.5 },
    });
    expect(() => scaleOnFlightPlane(exact(0.002), exact(0), exact(0))).toThrow(/Z > 0.*0.002, 0, 0/);
  });
});
