import { describe, expect, it } from "vitest";
import { createChance } from "../../../src/shared/quantity/chance.ts";
import { unwrap } from "../../../src/shared/quantity/result.ts";
import { rotationOf, rotationVectorOf, viewed } from "../../../src/shared/scale/board-pose.ts";
import { bent } from "../../../src/shared/scale/distortion.ts";
import { type BoardView, lensFromBoard } from "../../../src/shared/scale/lens-from-board.ts";
import { lensUncertainties } from "../../../src/shared/scale/lens-model.ts";

const LENS = { k1: -0.15, k2: 0.05, k3: 0, p1: 0, p2: 0 };
const TILTED = [
  [0.4, 0.1, 0.05, -0.25, -0.18, 0.9],
  [-0.45, 0.05, -0.1, -0.3, -0.15, 0.95],
  [0.05, 0.5, 0.1, -0.2, -0.2, 0.85],
  [-0.1, -0.45, 0, -0.3, -0.18, 1],
] as const;
const picturePx = [1920, 1080] as const;

/** A 6 by 5 board of 0.1 m seen by a lens of f = 1600 px centred in the picture. */
function views(
  poses: readonly (readonly number[])[],
  uPx: number,
  noise: () => number,
  grid = 0.1,
): BoardView[] {
  return poses.map(([rx, ry, rz, tx, ty, tz]) => ({
    uPx,
    points: Array.from({ length: 30 }, (_, i) => {
      const boardM = [grid * (i % 6), grid * Math.floor(i / 6)] as const;
      const [x, y] = bent(LENS, viewed(rotationOf(rx!, ry!, rz!), [tx!, ty!, tz!], boardM)!);
      return { boardM, px: [1600 * x + 960 + noise(), 1600 * y + 540 + noise()] as const };
    }),
  }));
}
const still = () => 0;

describe("lensFromBoard", () => {
  it("recovers focal length, distortion and poses from exact views", () => {
    const found = unwrap(
      lensFromBoard({
        views: views(TILTED, 0.1, still),
        picturePx,
        find: ["k1", "k2", "centreX", "centreY", "p1", "p2", "k3"],
      }),
    );
    expect(found.profile.focalPx).toBeCloseTo(1600, 5);
    expect(found.profile.centrePx[0]).toBeCloseTo(960, 5);
    expect(found.profile.centrePx[1]).toBeCloseTo(540, 5);
    expect(found.profile.k1).toBeCloseTo(-0.15, 7);
    expect(found.profile.k2).toBeCloseTo(0.05, 6);
    expect(found.profile.p2).toBeCloseTo(0, 8);
    for (const [k, value] of TILTED[2].entries()) expect(found.views[2]!.pose[k]).toBeCloseTo(value, 7);
    expect(found.leftPx).toBeLessThan(1e-8);
  });

  it("finds the same lens when the board's squares are all 1 % longer than said", () => {
    const found = unwrap(
      lensFromBoard({
        views: views(TILTED, 0.1, still, 0.101).map((view) => ({
          ...view,
          points: view.points.map(({ px, boardM }) => ({
            px,
            boardM: [boardM[0] / 1.01, boardM[1] / 1.01] as const,
          })),
        })),
        picturePx,
        find: ["k1", "k2"],
      }),
    );
    expect(found.profile.focalPx).toBeCloseTo(1600, 5);
    expect(found.profile.k1).toBeCloseTo(-0.15, 7);
  });

  it("states the u that 100 seeded sets scatter with, within 21 % (three standard errors)", () => {
    const chance = createChance(19);
    const shifts: number[][] = [];
    for (let i = 0; i < 100; i++) {
      const found = unwrap(
        lensFromBoard({
          views: views(TILTED, 0.3, () => 0.3 * chance.normal()),
          picturePx,
          find: ["k1", "k2"],
        }),
      );
      const u = lensUncertainties(found.profile).map((value) => value / Math.max(1, found.agreement.birge));
      shifts.push([
        (found.profile.focalPx - 1600) / u[0]!,
        (found.profile.k1 + 0.15) / u[3]!,
        (found.profile.k2 - 0.05) / u[4]!,
      ]);
    }
    for (const k of [0, 1, 2]) {
      const rms = Math.sqrt(shifts.reduce((sum, s) => sum + s[k]! ** 2, 0) / shifts.length);
      expect(Math.abs(rms - 1)).toBeLessThan(0.21);
    }
  });

  it("names the worst pick and warns", () => {
    const set = views(TILTED, 0.3, still).map((view, v) =>
      v === 1
        ? {
            ...view,
            points: view.points.map((p, i) => (i === 17 ? { ...p, px: [p.px[0] + 8, p.px[1]] as const } : p)),
          }
        : view,
    );
    const found = unwrap(lensFromBoard({ views: set, picturePx, find: ["k1", "k2"] }));
    expect(found.agreement.agree).toBe(false);
    expect(found.worst).toMatchObject({ view: 1, point: 17 });
  });

  it("refuses boards all seen squarely, views of three points or of one line, and too few views", () => {
    const chance = createChance(2);
    const square = views(
      [
        [0, 0, 0, -0.25, -0.2, 0.9],
        [0, 0, 0.3, -0.2, -0.25, 1],
      ],
      0.3,
      () => 0.3 * chance.normal(),
    );
    expect(lensFromBoard({ views: square, picturePx, find: ["k1"] })).toMatchObject({
      code: "board-not-tilted",
    });
    const good = views(TILTED, 0.3, still);
    const cut = (keep: (i: number) => boolean) => [
      good[0]!,
      { uPx: 0.3, points: good[1]!.points.filter((_, i) => keep(i)) },
    ];
    expect(lensFromBoard({ views: cut((i) => i < 3), picturePx, find: ["k1"] })).toMatchObject({
      code: "too-few-points",
      numbers: { view: 1, points: 3, needed: 4 },
    });
    expect(lensFromBoard({ views: cut((i) => i < 6), picturePx, find: ["k1"] })).toMatchObject({
      code: "points-in-line",
      numbers: { view: 1 },
    });
    const corners = [{ uPx: 0.3, points: [0, 5, 24, 29].map((i) => good[0]!.points[i]!) }];
    expect(lensFromBoard({ views: corners, picturePx, find: ["k1"] })).toMatchObject({
      code: "too-few-points",
      numbers: { points: 4, needed: 5 },
    });
  });

  it("throws RangeError on a picture without size", () => {
    expect(() => lensFromBoard({ views: [], picturePx: [0, 1080], find: ["k1"] })).toThrow(/a picture/);
  });
});

describe("rotationVectorOf", () => {
  it("undoes rotationOf, up to half a turn and for none at all", () => {
    for (const v of [
      [0, 0, 0],
      [1e-6, 0, -2e-6],
      [0.3, -0.5, 1.1],
      [0, 3.1, 0.1],
      [-2, 1.5, 1],
    ] as const) {
      const back = rotationVectorOf(rotationOf(v[0], v[1], v[2]));
      for (const [k, value] of v.entries()) expect(back[k]).toBeCloseTo(value, 12);
    }
  });
});
