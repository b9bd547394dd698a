import { describe, expect, it } from "vitest";
import { unwrap } from "../../src/shared/quantity/result.ts";
import { rotationOf, viewed } from "../../src/shared/scale/board-pose.ts";
import { bent, straightened } from "../../src/shared/scale/distortion.ts";
import { type BoardView, lensFromBoard } from "../../src/shared/scale/lens-from-board.ts";
import { lensFromLines, type MarkedLine } from "../../src/shared/scale/lens-from-lines.ts";
import { createLens, type LensProfile, lensUncertainties } from "../../src/shared/scale/lens-model.ts";

/*
 * Radial and tangential distortion (Conrady 1919; Brown 1966, 1971) against OpenCV 4.6 (cv2.projectPoints),
 * and the plumb-line method (Brown 1971; Devernay & Faugeras 2001) on a synthetic set of eight lines, against
 * scipy 1.10 (tools/reference/homography.py).
 */
const LENS: LensProfile = {
  focalPx: 1400,
  centrePx: [960, 540],
  k1: -0.21,
  k2: 0.09,
  k3: -0.012,
  p1: 0.0007,
  p2: -0.0004,
  picturePx: [1920, 1080],
  covariance: new Array<number>(64).fill(0),
  madeFrom: { by: "person", leftPx: 0, points: 0 },
};

const BY_OPENCV = [
  {
    straight: [0.1, 0.05],
    seen: [0.09973290390625, 0.049877701953125006],
    px: [1099.62606546875, 609.828782734375],
  },
  { straight: [0.4, -0.2], seen: [0.38428160000000006, -0.1920408], px: [1497.99424, 271.14288] },
  {
    straight: [-0.6, 0.35],
    seen: [-0.5517427685874999, 0.322075115009375],
    px: [187.5601239775001, 990.905161013125],
  },
  {
    straight: [0.65, 0.37],
    seen: [0.5903577424882448, 0.33656874295484707],
    px: [1786.5008394835427, 1011.196240136786],
  },
] as const;

describe("lens, published cases", () => {
  it("bends and sees as OpenCV does, to the last digits", () => {
    const lens = unwrap(createLens(LENS));
    for (const { straight, seen, px } of BY_OPENCV) {
      const [x, y] = bent(LENS, straight);
      expect(x).toBeCloseTo(seen[0], 14);
      expect(y).toBeCloseTo(seen[1], 14);
      const [u, v] = lens.bend([1400 * straight[0] + 960, 1400 * straight[1] + 540]);
      expect(u).toBeCloseTo(px[0], 10);
      expect(v).toBeCloseTo(px[1], 10);
    }
  });

  it("straightens back to 1e-12, where five fixed-point steps would leave 4.9e-6 at the corner", () => {
    for (const { straight, px } of BY_OPENCV) {
      const [x, y] = straightened(LENS, [(px[0] - 960) / 1400, (px[1] - 540) / 1400])!;
      expect(Math.hypot(x - straight[0], y - straight[1])).toBeLessThan(1e-12);
    }
  });

  it("has -9.14 % of radial distortion at the corner of that picture", () => {
    // r of the last case, from the radial terms alone
    const [x, y] = [0.65, 0.37];
    const r = Math.hypot(x, y);
    const radial = bent({ ...LENS, p1: 0, p2: 0 }, [r, 0])[0] / r - 1;
    expect(radial).toBeCloseTo(-0.0914, 4);
  });
});

/** 4 level lines of 25 points and 4 upright ones of 15, seen through k1 = -0.21, k2 = 0.09. */
function plumbLines(): MarkedLine[] {
  const only = { ...LENS, k3: 0, p1: 0, p2: 0 };
  const seen = (x: number, y: number) => {
    const [u, v] = bent(only, [x, y]);
    return [1400 * u + 960, 1400 * v + 540] as const;
  };
  const along = (n: number, half: number) =>
    Array.from({ length: n }, (_, i) => -half + (2 * half * i) / (n - 1));
  return [
    ...[-0.35, -0.2, 0.2, 0.35].map((y) => ({ points: along(25, 0.6).map((x) => seen(x, y)), uPx: 0.2 })),
    ...[-0.6, -0.3, 0.3, 0.6].map((x) => ({ points: along(15, 0.35).map((y) => seen(x, y)), uPx: 0.2 })),
  ];
}

describe("lensFromLines, published case", () => {
  it("recovers k1 = -0.21, k2 = 0.09 from 6.418206 px of bow", () => {
    const found = unwrap(
      lensFromLines({ lines: plumbLines(), picturePx: [1920, 1080], focalPx: 1400, find: ["k1", "k2"] }),
    );
    expect(found.beforePx).toBeCloseTo(6.418206143158932, 9);
    expect(found.profile.k1).toBeCloseTo(-0.21, 10);
    expect(found.profile.k2).toBeCloseTo(0.09, 9);
    expect(found.afterPx).toBeLessThan(1e-9);
  });
});

/** Six views of a 10 by 7 board with pseudo-noise, as tools/reference/lens_board.py makes them. */
function boardViews(): BoardView[] {
  const lens = { k1: -0.21, k2: 0.09, k3: 0, p1: 0.0007, p2: -0.0004 };
  const poses = [
    [0, 0, 0.02, -0.4, -0.28, 1.2],
    [0.45, 0.1, -0.05, -0.35, -0.2, 1.1],
    [-0.4, 0.15, 0.1, -0.45, -0.3, 1.25],
    [0.1, 0.5, 0, -0.3, -0.25, 1],
    [-0.05, -0.45, 0.15, -0.45, -0.22, 1.3],
    [0.3, -0.35, -0.2, -0.38, -0.15, 1.15],
  ] as const;
  let n = 0;
  return poses.map(([rx, ry, rz, tx, ty, tz]) => ({
    uPx: 0.1,
    points: Array.from({ length: 70 }, (_, i) => {
      const boardM = [0.08 * (i % 10), 0.08 * Math.floor(i / 10)] as const;
      const [x, y] = bent(lens, viewed(rotationOf(rx, ry, rz), [tx, ty, tz], boardM)!);
      n++;
      const noise = (step: number, of: number) => 0.5 * (((step * n) % of) / of - 0.5);
      return { boardM, px: [1400 * x + 955 + noise(37, 101), 1400 * y + 548 + noise(53, 103)] as const };
    }),
  }));
}

describe("lensFromBoard, against cv2.calibrateCamera", () => {
  const found = unwrap(
    lensFromBoard({
      views: boardViews(),
      picturePx: [1920, 1080],
      find: ["centreX", "centreY", "k1", "k2", "p1", "p2"],
    }),
  );

  it("finds the same lens, to what single-precision input leaves of it", () => {
    const { profile } = found;
    expect(Math.abs(profile.focalPx - 1400.4811047613832)).toBeLessThan(1e-3);
    expect(Math.abs(profile.centrePx[0] - 955.6650464116289)).toBeLessThan(1e-3);
    expect(Math.abs(profile.centrePx[1] - 548.2406334175196)).toBeLessThan(1e-3);
    expect(Math.abs(profile.k1 + 0.21027739196601317)).toBeLessThan(2e-6);
    expect(Math.abs(profile.k2 - 0.08952997911326882)).toBeLessThan(5e-6);
    expect(Math.abs(profile.p1 - 0.0006466754883601598)).toBeLessThan(2e-7);
    expect(Math.abs(profile.p2 + 0.00022060371555350752)).toBeLessThan(2e-7);
    // OpenCV's figure is per point, ours per coordinate.
    expect(found.leftPx * Math.SQRT2).toBeCloseTo(0.2001347258978367, 6);
  });

  it("states the same standard uncertainties, once the picks' 0.1 px is enlarged by the Birge ratio", () => {
    const opencv = [
      0.8861824695719108, 1.0768557426361707, 0.7749539507844707, 0.001381945288576629, 0.003985720792641179,
      9.963643499981245e-5, 0.00011938390234930733,
    ];
    const all = lensUncertainties(found.profile);
    const ours = [0, 1, 2, 3, 4, 6, 7].map((k) => all[k]!);
    expect(found.agreement.birge).toBeGreaterThan(1);
    // OpenCV 4.6 divides the sum of squares by points less unknowns, 420 - 43; there are two
    // residuals a point, 840 - 43.
    const perCoordinate = Math.sqrt((420 - 43) / (840 - 43));
    for (const [k, u] of opencv.entries())
      expect(Math.abs(ours[k]! / (u * perCoordinate) - 1)).toBeLessThan(1e-5);
  });
});
