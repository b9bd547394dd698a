import { describe, expect, it } from "vitest";
import { createChance } from "../../../src/shared/quantity/chance.ts";
import { unwrap } from "../../../src/shared/quantity/result.ts";
import { bent } from "../../../src/shared/scale/distortion.ts";
import { lensFromLines, type MarkedLine } from "../../../src/shared/scale/lens-from-lines.ts";
import { lensUncertainties } from "../../../src/shared/scale/lens-model.ts";

const LENS = { k1: -0.18, k2: 0.06, k3: 0, p1: 0.0008, p2: -0.0005 };
const CENTRE = [970, 530] as const;

/** Points of straight lines (ends over the focal length 1500) as the lens sees them, with noise. */
function lines(
  ends: readonly (readonly [number, number, number, number])[],
  n: number,
  noise: () => number,
  lens = LENS,
  centre: readonly [number, number] = CENTRE,
): MarkedLine[] {
  return ends.map(([x0, y0, x1, y1]) => ({
    uPx: 0.3,
    points: Array.from({ length: n }, (_, i) => {
      const t = i / (n - 1);
      const [x, y] = bent(lens, [x0 + t * (x1 - x0), y0 + t * (y1 - y0)]);
      return [1500 * x + centre[0] + noise(), 1500 * y + centre[1] + noise()] as const;
    }),
  }));
}

const FRAME = [
  [-0.6, -0.33, 0.6, -0.3],
  [-0.6, 0.32, 0.6, 0.34],
  [-0.58, -0.34, -0.6, 0.34],
  [0.57, -0.34, 0.59, 0.34],
  [-0.6, -0.2, 0.6, 0.33],
  [0.3, -0.34, 0.33, 0.34],
  [-0.3, -0.34, -0.35, 0.34],
] as const;
const picturePx = [1920, 1080] as const;
const still = () => 0;

describe("lensFromLines", () => {
  it("recovers radial and tangential terms and the centre from exact lines", () => {
    const { profile } = unwrap(
      lensFromLines({
        lines: lines(FRAME, 25, still),
        picturePx,
        focalPx: 1500,
        find: ["k1", "k2", "p1", "p2", "centreX", "centreY"],
      }),
    );
    expect(profile.k1).toBeCloseTo(-0.18, 6);
    expect(profile.k2).toBeCloseTo(0.06, 5);
    expect(profile.p1).toBeCloseTo(0.0008, 6);
    expect(profile.p2).toBeCloseTo(-0.0005, 6);
    expect(profile.centrePx[0]).toBeCloseTo(970, 2);
    expect(profile.centrePx[1]).toBeCloseTo(530, 2);
  });

  it("states the u that 300 seeded sets scatter with, within 13 % (three standard errors), and no bias", () => {
    const chance = createChance(41);
    const lens = { ...LENS, p1: 0, p2: 0 };
    const shifts: [number, number][] = [];
    for (let i = 0; i < 300; i++) {
      const set = lines(FRAME, 12, () => 0.3 * chance.normal(), lens, [960, 540]);
      const { profile, agreement } = unwrap(
        lensFromLines({ lines: set, picturePx, focalPx: 1500, find: ["k1", "k2"] }),
      );
      const u = lensUncertainties(profile);
      const enlarged = Math.max(1, agreement.birge);
      shifts.push([((profile.k1 + 0.18) / u[3]!) * enlarged, ((profile.k2 - 0.06) / u[4]!) * enlarged]);
    }
    for (const k of [0, 1] as const) {
      const mean = shifts.reduce((sum, s) => sum + s[k], 0) / shifts.length;
      const rms = Math.sqrt(shifts.reduce((sum, s) => sum + s[k] ** 2, 0) / shifts.length);
      expect(Math.abs(rms - 1)).toBeLessThan(0.13);
      expect(Math.abs(mean)).toBeLessThan(3 / Math.sqrt(300));
    }
  });

  it("finds the same straightening whichever unit of length the coefficients are given in", () => {
    const set = lines(FRAME, 25, still, { ...LENS, p1: 0, p2: 0 }, [960, 540]);
    const found = (focalPx: number) =>
      unwrap(lensFromLines({ lines: set, picturePx, focalPx, find: ["k1", "k2"] }));
    const [a, b] = [found(1500), found(1000)];
    // x = X/f: k1 goes with f², k2 with f⁴
    expect(b.profile.k1 / a.profile.k1).toBeCloseTo((1000 / 1500) ** 2, 8);
    expect(b.profile.k2 / a.profile.k2).toBeCloseTo((1000 / 1500) ** 4, 7);
  });

  it("warns of a point marked off its line and names it", () => {
    const set = lines(FRAME, 12, still, { ...LENS, p1: 0, p2: 0 }, [960, 540]).map((line, l) =>
      l === 2
        ? {
            ...line,
            points: line.points.map(([x, y], i) => (i === 7 ? ([x + 4, y] as const) : ([x, y] as const))),
          }
        : line,
    );
    const found = unwrap(lensFromLines({ lines: set, picturePx, focalPx: 1500, find: ["k1", "k2"] }));
    expect(found.agreement.agree).toBe(false);
    expect(found.worst).toMatchObject({ line: 2, point: 7 });
  });

  it("refuses lines through the centre, lines of two points and too few points in all", () => {
    const through = lines(
      [
        [-0.6, -0.3, 0.6, 0.3],
        [-0.6, 0.3, 0.6, -0.3],
        [0, -0.34, 0.01, 0.34],
      ],
      20,
      still,
      LENS,
      [960, 540],
    );
    expect(lensFromLines({ lines: through, picturePx, focalPx: 1500, find: ["k1"] })).toMatchObject({
      code: "lines-through-centre",
      numbers: { neededPx: expect.closeTo(110.15, 1) },
    });
    expect(
      lensFromLines({ lines: lines(FRAME, 2, still), picturePx, focalPx: 1500, find: ["k1"] }),
    ).toMatchObject({
      code: "too-few-points",
      numbers: { line: 0, points: 2, needed: 3 },
    });
    expect(
      lensFromLines({
        lines: lines(FRAME.slice(0, 2), 3, still),
        picturePx,
        focalPx: 1500,
        find: ["k1", "k2"],
      }),
    ).toMatchObject({
      code: "too-few-points",
      numbers: { points: 2, needed: 3 },
    });
  });

  it("throws RangeError when told not to find k1", () => {
    expect(() =>
      lensFromLines({ lines: lines(FRAME, 9, still), picturePx, focalPx: 1500, find: ["k2"] }),
    ).toThrow(/k1 is always found/);
  });
});
