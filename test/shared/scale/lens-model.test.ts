import { describe, expect, it } from "vitest";
import { createChance } from "../../../src/shared/quantity/chance.ts";
import { unwrap } from "../../../src/shared/quantity/result.ts";
import {
  createLens,
  type LensProfile,
  lensUncertainties,
  resizedProfile,
} from "../../../src/shared/scale/lens-model.ts";
import fc from "../../support/drawn-inputs.ts";

/** f 5 px, centre 2 and 3 px, k1 0.004 and k2 0.01 with correlation -0.9, the rest held. */
function covariance(): number[] {
  const c = new Array<number>(64).fill(0);
  [25, 4, 9, 1.6e-5, 1e-4].forEach((v, k) => {
    c[9 * k] = v;
  });
  c[8 * 3 + 4] = -0.9 * 0.004 * 0.01;
  c[8 * 4 + 3] = c[8 * 3 + 4]!;
  return c;
}

const profile: LensProfile = {
  focalPx: 1400,
  centrePx: [950, 545],
  k1: -0.21,
  k2: 0.09,
  k3: -0.012,
  p1: 0.0007,
  p2: -0.0004,
  picturePx: [1920, 1080],
  covariance: covariance(),
  madeFrom: { by: "person", leftPx: 0, points: 0 },
};

describe("createLens", () => {
  it("gives the case worked by hand: k1 = -0.2 alone sees (0.5, 0) at 0.475", () => {
    const plain = { ...profile, centrePx: [960, 540] as const, k1: -0.2, k2: 0, k3: 0, p1: 0, p2: 0 };
    expect(unwrap(createLens(plain)).bend([960 + 700, 540])).toEqual([
      expect.closeTo(960 + 1400 * 0.475, 10),
      540,
    ]);
  });

  it("straightens and bends back, for any place in the picture and any mild lens", () => {
    const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });
    fc.assert(
      fc.property(
        between(0, 1920),
        between(0, 1080),
        between(-0.2, 0.25),
        between(0, 0.1),
        between(-0.002, 0.002),
        (x, y, k1, k2, p) => {
          const lens = unwrap(createLens({ ...profile, k1, k2, k3: 0, p1: p, p2: -p }));
          const back = lens.bend(lens.straighten([x, y]));
          expect(back[0]).toBeCloseTo(x, 8);
          expect(back[1]).toBeCloseTo(y, 8);
        },
      ),
    );
  });

  it("stretches as differences of straighten show, and moves with each term as differences of the profile show", () => {
    const lens = unwrap(createLens(profile));
    const at = [1700, 160] as const;
    const s = lens.stretch(at);
    const e = 1e-3;
    const [l, r] = [lens.straighten([at[0] - e, at[1]]), lens.straighten([at[0] + e, at[1]])];
    expect((r[0] - l[0]) / (2 * e)).toBeCloseTo(s[0], 7);
    expect((r[1] - l[1]) / (2 * e)).toBeCloseTo(s[2], 7);
    const by = lens.byTerms(at);
    const steps = [0.1, 0.1, 0.1, 1e-4, 1e-4, 1e-4, 1e-5, 1e-5];
    steps.forEach((h, k) => {
      const moved = (way: number) => {
        const n = [
          profile.focalPx,
          ...profile.centrePx,
          profile.k1,
          profile.k2,
          profile.k3,
          profile.p1,
          profile.p2,
        ];
        n[k]! += way * h;
        const [focalPx, cx, cy, k1, k2, k3, p1, p2] = n as [
          number,
          number,
          number,
          number,
          number,
          number,
          number,
          number,
        ];
        return unwrap(createLens({ ...profile, focalPx, centrePx: [cx, cy], k1, k2, k3, p1, p2 })).straighten(
          at,
        );
      };
      const [below, above] = [moved(-1), moved(1)];
      expect((above[0] - below[0]) / (2 * h) / by[k]!).toBeCloseTo(1, 4);
      expect((above[1] - below[1]) / (2 * h) / by[8 + k]!).toBeCloseTo(1, 4);
    });
  });

  it("states the common covariance that 4000 seeded disturbed lenses scatter with, within 8 % (three standard errors)", () => {
    const chance = createChance(31);
    const lens = unwrap(createLens(profile));
    const at = [1700, 160] as const;
    const [x, y] = lens.straighten(at);
    let [xx, yy] = [0, 0];
    for (let i = 0; i < 4000; i++) {
      const z = Array.from({ length: 8 }, () => chance.normal());
      const [mx, my] = unwrap(lens.disturbed(z)).straighten(at);
      xx += (mx - x) ** 2 / 4000;
      yy += (my - y) ** 2 / 4000;
    }
    const { common, own, total } = lens.placeCovariance(at, [0.09, 0, 0.04]);
    expect(Math.abs(xx / common[0] - 1)).toBeLessThan(0.08);
    expect(Math.abs(yy / common[2] - 1)).toBeLessThan(0.08);
    expect(total[0]).toBe(common[0] + own[0]);
    expect(own[0]).toBeGreaterThan(0.09); // straightening a barrel stretches the outer picture
  });

  it("refuses a lens that folds inside the picture and keeps one that folds outside", () => {
    const only = (k1: number) =>
      createLens({ ...profile, centrePx: [960, 540], k1, k2: 0, k3: 0, p1: 0, p2: 0 });
    // r(1 + k1 r²) turns at r = 1/sqrt(-3 k1), seen at 2/3 of it: for k1 = -0.5 at 1400 * 0.5443 = 762 px
    expect(only(-0.5)).toMatchObject({
      code: "folds-inside-picture",
      numbers: { cornerPx: expect.closeTo(Math.hypot(960, 540), 9) },
    });
    const refused = only(-0.5);
    expect(refused.ok ? 0 : refused.numbers.foldPx).toBeCloseTo(1400 * (2 / 3 / Math.sqrt(1.5)), 0);
    const kept = unwrap(only(-0.2));
    expect(() => kept.straighten([10_000, 540])).toThrow(/no straight place is seen at 10000, 540 px/);
  });

  it("throws RangeError without a focal length", () => {
    expect(() => createLens({ ...profile, focalPx: 0 })).toThrow(/f > 0.*got 0, 950/);
  });
});

describe("resizedProfile", () => {
  it("straightens the half-size picture as it does the full one", () => {
    const half = unwrap(resizedProfile(profile, [960, 540]));
    const [full, small] = [unwrap(createLens(profile)), unwrap(createLens(half))];
    const [x, y] = full.straighten([1700, 160]);
    const [u, v] = small.straighten([850, 80]);
    expect(u).toBeCloseTo(x / 2, 9);
    expect(v).toBeCloseTo(y / 2, 9);
    expect(lensUncertainties(half).slice(0, 4)).toEqual([2.5, 1, 1.5, expect.closeTo(0.004, 12)]);
  });

  it("refuses a picture of another shape", () => {
    expect(resizedProfile(profile, [1440, 1080])).toMatchObject({
      code: "other-shape",
      numbers: { wantedShape: 4 / 3 },
    });
  });
});
