import { describe, expect, it } from "vitest";
import { unwrap } from "../../src/shared/quantity/result.ts";
import { directLinear, normalised, normaliserOf, project } from "../../src/shared/scale/homography-map.ts";
import { type KnownPoint, planeHomography } from "../../src/shared/scale/plane-homography.ts";

/*
 * Plane of known points, metres -> px, against scipy 1.10 (least_squares on the reprojection error) and
 * OpenCV 4.6 (cv2.findHomography, method 0); algorithms 4.2 and 4.3 of Hartley & Zisserman, Multiple View
 * Geometry, 2nd ed. (2004); covariance as in Criminisi, Reid & Zisserman, A plane measuring device, BMVC
 * 1997. Figures: tools/reference/homography.py.
 */
const TRUE_H = [820, 35, 410, -12, -790, 980, 0.031, -0.012] as const;
const BY_SCIPY = [
  820.7241005578198, 35.025255552501825, 409.9386418899921, -11.603773180943762, -790.3348944868277,
  980.1110703357251, 0.03150481620339663, -0.011960542839503315,
];
const BY_OPENCV = [
  820.7241349642566, 35.02526664816296, 409.9386319508844, -11.603757679324358, -790.3348936024981,
  980.1110643216784, 0.03150483922771777, -0.011960531770560232,
];

const CORNERS = [
  [0, 0],
  [1.5, 0],
  [1.5, 1],
  [0, 1],
] as const;
const CORNERS_PX = [
  [410, 980],
  [1567.1285236502629, 919.2546583850932],
  [1619.1396810053166, 166.26389560174],
  [450.40485829959516, 192.30769230769232],
] as const;

const GRID = [0, 0.5, 1].flatMap((y) => [0, 0.5, 1, 1.5].map((x) => [x, y] as const));
/** 12 points with the pseudo-noise 0.8 (((37 (i+1)) mod 29)/29 - 1/2, ((53 (i+1)) mod 31)/31 - 1/2) px. */
const NOISY = GRID.map((metres, i) => {
  const [x, y] = project(TRUE_H, metres).at;
  const noise = (step: number, of: number) => 0.8 * (((step * (i + 1)) % of) / of - 0.5);
  return [x + noise(37, 29), y + noise(53, 31)] as const;
});

const known = (
  metres: readonly (readonly [number, number])[],
  px: typeof metres,
  uPx: number,
): KnownPoint[] => metres.map((at, i) => ({ metres: at, px: px[i]!, uPx, uM: 0 }));

describe("planeHomography, published case", () => {
  it("returns H from four exact points to 1e-9", () => {
    CORNERS.forEach((at, i) => {
      const [x, y] = project(TRUE_H, at).at;
      expect(x).toBeCloseTo(CORNERS_PX[i]![0], 9);
      expect(y).toBeCloseTo(CORNERS_PX[i]![1], 9);
    });
    const { map, agreement } = unwrap(planeHomography(known(CORNERS, CORNERS_PX, 0.3)));
    for (const [k, value] of TRUE_H.entries()) expect(Math.abs(map.matrix()[k]! - value)).toBeLessThan(1e-9);
    expect(agreement.degreesOfFreedom).toBe(0);
  });

  it("leaves 0.189679413 px rms after the normalised direct linear transform of the 12 noisy points", () => {
    const [places, images] = [normaliserOf(GRID), normaliserOf(NOISY)];
    const x = GRID.map((at) => normalised(places, at));
    const u = NOISY.map((at) => normalised(images, at));
    const h = directLinear(x, u)!;
    const squares = x.reduce((sum, at, i) => {
      const [fx, fy] = project(h, at).at;
      return sum + ((fx - u[i]![0]) ** 2 + (fy - u[i]![1]) ** 2) / images.scale ** 2;
    }, 0);
    expect(Math.sqrt(squares / 24)).toBeCloseTo(0.18967941330055899, 9);
  });

  it("leaves 0.189659659 px rms at the maximum likelihood, with scipy's H to 1e-7 and OpenCV's to 1.4e-6", () => {
    const { map, rmsPx, agreement } = unwrap(planeHomography(known(GRID, NOISY, 1)));
    expect(rmsPx).toBeCloseTo(0.18965965940747292, 11);
    const h = map.matrix();
    for (const [k, value] of BY_SCIPY.entries()) expect(Math.abs(h[k]! / value - 1)).toBeLessThan(1e-7);
    for (const [k, value] of BY_OPENCV.entries()) expect(Math.abs(h[k]! / value - 1)).toBeLessThan(1.4e-6);
    // sigma-hat = sqrt(SSE / (2n - 8)): the Birge ratio for picks said to be good to 1 px
    expect(agreement.birge).toBeCloseTo(0.232284695169178, 10);
  });

  it("gives places and their standard uncertainties for picks good to 0.3 px", () => {
    const { map } = unwrap(planeHomography(known(GRID, NOISY, 0.3)));
    const cases = [
      {
        px: [900, 600],
        m: [0.5917597201114991, 0.4623054263420601],
        total: [0.41342666354751006, 0.41280899421786904],
        own: [0.3850981122538554, 0.38925138316617097],
      },
      {
        px: [1500, 900],
        m: [1.407220969566658, 0.03063377342741771],
        total: [0.4884613758452754, 0.4737027492999454],
        own: [0.4072806663925542, 0.4037000895202783],
      },
      {
        px: [300, 300],
        m: [-0.17688404236502908, 0.8691938268300812],
        total: [0.48949796536959067, 0.45720093177661053],
        own: [0.3647869632817839, 0.3758330541880265],
      },
    ] as const;
    for (const { px, m, total, own } of cases) {
      const [x, y] = map.toMetres(px);
      expect(x).toBeCloseTo(m[0], 8);
      expect(y).toBeCloseTo(m[1], 8);
      const c = map.placeCovariance(px, [0.09, 0, 0.09]);
      // The published figures come from a difference Jacobian: good to about 1e-7.
      for (const [k, u] of [Math.sqrt(c.total[0]), Math.sqrt(c.total[2])].entries())
        expect(u * 1e3).toBeCloseTo(total[k]!, 6);
      for (const [k, u] of [Math.sqrt(c.own[0]), Math.sqrt(c.own[2])].entries())
        expect(u * 1e3).toBeCloseTo(own[k]!, 6);
    }
  });
});
