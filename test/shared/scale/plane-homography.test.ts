import { describe, expect, it } from "vitest";
import { createChance } from "../../../src/shared/quantity/chance.ts";
import { unwrap } from "../../../src/shared/quantity/result.ts";
import { project } from "../../../src/shared/scale/homography-map.ts";
import { type KnownPoint, planeHomography } from "../../../src/shared/scale/plane-homography.ts";
import fc from "../../support/drawn-inputs.ts";

const H = [820, 35, 410, -12, -790, 980, 0.031, -0.012] as const;
const PLACES = [
  [0, 0],
  [1.5, 0.1],
  [1.4, 1],
  [0.1, 1.1],
  [0.7, 0.4],
  [0.2, 0.6],
] as const;

function seen(uPx: number, uM: number, chance: { normal(): number } | null): KnownPoint[] {
  return PLACES.map((place) => {
    const [x, y] = project(H, place).at;
    const n = () => (chance ? chance.normal() : 0);
    return {
      px: [x + uPx * n(), y + uPx * n()],
      uPx,
      metres: [place[0] + uM * n(), place[1] + uM * n()],
      uM,
    };
  });
}

const rms = (values: readonly number[]) =>
  Math.sqrt(values.reduce((sum, x) => sum + x * x, 0) / values.length);

describe("planeHomography", () => {
  it("is a plain scale when the plane is seen squarely: 2 mm/px everywhere, in any direction", () => {
    const square = PLACES.map(([x, y]) => ({
      metres: [x, y] as const,
      px: [100 + 500 * x, 900 - 500 * y] as const,
      uPx: 0.3,
      uM: 0,
    }));
    const { map } = unwrap(planeHomography(square));
    expect(map.localScale([321, 456], [3, -1])).toBeCloseTo(0.002, 12);
    expect(map.mirrored).toBe(false);
    const mirrored = unwrap(
      planeHomography(square.map((one) => ({ ...one, metres: [-one.metres[0], one.metres[1]] as const }))),
    );
    expect(mirrored.map.mirrored).toBe(true);
  });

  it("goes to metres and back, and has as local scale the length one pixel covers", () => {
    const { map } = unwrap(planeHomography(seen(0.3, 0, null)));
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 1920, noNaN: true }),
        fc.double({ min: 0, max: 1080, noNaN: true }),
        (x, y) => {
          const back = map.toPixels(map.toMetres([x, y]));
          expect(back[0]).toBeCloseTo(x, 8);
          expect(back[1]).toBeCloseTo(y, 8);
          const [a, b] = [map.toMetres([x - 0.5, y]), map.toMetres([x + 0.5, y])];
          const along = [b[0] - a[0], b[1] - a[1]] as const;
          expect(map.localScale([x, y], along) / Math.hypot(...along)).toBeCloseTo(1, 6);
        },
      ),
    );
  });

  it("does not depend on where the metres start", () => {
    const near = unwrap(planeHomography(seen(0.3, 0.001, null)));
    const far = unwrap(
      planeHomography(
        seen(0.3, 0.001, null).map((one) => ({
          ...one,
          metres: [one.metres[0] + 20, one.metres[1] - 30] as const,
        })),
      ),
    );
    const [a, b] = [
      near.map.placeCovariance([700, 500], [0.04, 0, 0.04]),
      far.map.placeCovariance([700, 500], [0.04, 0, 0.04]),
    ];
    for (const k of [0, 1, 2] as const) expect(Math.abs(b.total[k] / a.total[k] - 1)).toBeLessThan(1e-6);
    expect(far.map.toMetres([700, 500])[0] - near.map.toMetres([700, 500])[0]).toBeCloseTo(20, 8);
  });

  it("states uncertainties that 600 seeded fits scatter with, picks and tape both in doubt, within 9 % (three standard errors)", () => {
    const chance = createChance(77);
    const exact = unwrap(planeHomography(seen(0.4, 0.002, null)));
    const at = [900, 600] as const;
    const [from, to] = [
      [500, 500],
      [1500, 450],
    ] as const;
    const truth = exact.map.toMetres(at);
    const length = (map: typeof exact.map) =>
      Math.hypot(...([0, 1].map((k) => map.toMetres(to)[k]! - map.toMetres(from)[k]!) as [number, number]));
    const shifts: number[][] = [[], [], [], []];
    let chi = 0;
    for (let i = 0; i < 600; i++) {
      const fit = planeHomography(seen(0.4, 0.002, chance));
      const { map, agreement } = unwrap(fit);
      const [x, y] = map.toMetres(at);
      shifts[0]!.push(x - truth[0]);
      shifts[1]!.push(y - truth[1]);
      shifts[2]!.push(length(map) / length(exact.map) - 1);
      const e = 0.5;
      const along = (m: typeof map) => m.toMetres([at[0] + e, at[1]])[0] - m.toMetres([at[0] - e, at[1]])[0];
      shifts[3]!.push(along(map) / along(exact.map) - 1);
      chi += agreement.chiSquare;
    }
    const { common } = exact.map.placeCovariance(at, [0, 0, 0]);
    const stated = [
      Math.sqrt(common[0]),
      Math.sqrt(common[2]),
      exact.map.lengthSystematic(from, to),
      exact.map.speedSystematic(at, [1, 0]),
    ];
    for (const [k, values] of shifts.entries())
      expect(Math.abs(rms(values) / stated[k]! - 1)).toBeLessThan(0.09);
    // 12 coordinates, 8 unknowns: a mean chi-square of 4, standard error sqrt(8/600)
    expect(Math.abs(chi / 600 - 4)).toBeLessThan(3 * Math.sqrt(8 / 600));
  });

  it("disturbs the map by as much as the sensitivity says, and the squares add up to the covariance", () => {
    const { map } = unwrap(planeHomography(seen(0.3, 0.001, null)));
    const at = [1300, 300] as const;
    const s = map.sensitivity(at);
    const [x, y] = map.toMetres(at);
    for (let k = 0; k < 8; k++) {
      const z = Array.from({ length: 8 }, (_, i) => (i === k ? 1e-3 : 0));
      const [mx, my] = map.disturbed(z).toMetres(at);
      expect((mx - x) / 1e-3 / 1e-4).toBeCloseTo(s[k]! / 1e-4, 2);
      expect((my - y) / 1e-3 / 1e-4).toBeCloseTo(s[8 + k]! / 1e-4, 2);
    }
    const { common } = map.placeCovariance(at, [0, 0, 0]);
    const square = (row: number) => s.slice(8 * row, 8 * row + 8).reduce((sum, v) => sum + v * v, 0);
    expect(square(0) / common[0]).toBeCloseTo(1, 9);
    expect(square(1) / common[2]).toBeCloseTo(1, 9);
  });

  it("carries the covariance of H with h33 = 1 to the same place uncertainty", () => {
    const { map } = unwrap(planeHomography(seen(0.3, 0.001, null)));
    const [h, c] = [map.matrix(), map.matrixCovariance()];
    // var of the depth 1 + h31 x + h32 y of a place, and of h13 = the image of the origin
    const origin = map.toPixels([0, 0]);
    expect(h[2]).toBeCloseTo(origin[0], 8);
    const own = map.placeCovariance(origin, [0, 0, 0]).common;
    // moving the image of the origin by its covariance moves the place by J_u of it
    const e = 1e-3;
    const jx = map.toMetres([origin[0] + e, origin[1]]);
    const jy = map.toMetres([origin[0], origin[1] + e]);
    const o = map.toMetres(origin);
    const [a, b] = [(jx[0] - o[0]) / e, (jy[0] - o[0]) / e];
    const [v, w, x] = [c[2 * 8 + 2]!, c[2 * 8 + 5]!, c[5 * 8 + 5]!];
    expect((a * a * v + 2 * a * b * w + b * b * x) / own[0]).toBeCloseTo(1, 4);
  });

  it("refuses three points, points on one line, and three of four on a line, with the numbers", () => {
    const all = seen(0.3, 0, null);
    expect(planeHomography(all.slice(0, 3))).toMatchObject({
      code: "too-few-points",
      numbers: { points: 3, needed: 4 },
    });
    const onLine = [0, 0.4, 0.9, 1.3, 1.5].map((t) => ({
      metres: [t, t / 3] as const,
      px: project(H, [t, t / 3]).at,
      uPx: 0.3,
      uM: 0,
    }));
    expect(planeHomography(onLine)).toMatchObject({ code: "points-in-line" });
    expect(planeHomography([...onLine.slice(0, 3), all[3]!])).toMatchObject({
      code: "points-in-line",
      numbers: { needed: 3 },
    });
    // one more point off the line is enough
    expect(planeHomography([...onLine.slice(0, 3), all[3]!, all[1]!]).ok).toBe(true);
  });

  it("refuses a wrong length naming the point, and corners mixed up", () => {
    const wrong = seen(0.3, 0.001, null).map((one, i) =>
      i === 4 ? { ...one, metres: [0.7, 0.5] as const } : one,
    );
    expect(planeHomography(wrong)).toMatchObject({ code: "points-disagree", numbers: { point: 4 } });
    const four = seen(0.3, 0, null).slice(0, 4);
    const crossed = four.map((one, i) => ({ ...one, metres: four[[0, 2, 1, 3][i]!]!.metres }));
    expect(planeHomography(crossed)).toMatchObject({ code: "horizon-between-points" });
  });

  it("throws RangeError on a pick that is not finite and on a place beyond the horizon", () => {
    expect(() =>
      planeHomography(seen(0.3, 0, null).map((one) => ({ ...one, px: [Number.NaN, 0] as const }))),
    ).toThrow(/finite inputs/);
    // A strongly turned plane: its horizon crosses the picture where 1 + h31 x = 0 for all x, at u = h11/h31.
    const steep = [600, 0, 100, 0, -500, 800, 0.5, 0] as const;
    const { map } = unwrap(
      planeHomography(PLACES.map((metres) => ({ metres, px: project(steep, metres).at, uPx: 0.1, uM: 0 }))),
    );
    expect(() => map.toMetres([1300, 800])).toThrow(/horizon/);
  });
});
