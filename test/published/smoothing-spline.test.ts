import { describe, expect, it } from "vitest";
import { smoothingSpline } from "../reference/smoothing-spline.ts";

/*
 * Natural cubic smoothing spline with generalised cross-validation: Reinsch, Numer. Math. 10:177 (1967);
 * Craven & Wahba, Numer. Math. 31:377 (1979). Reference figures from scipy 1.10: make_smoothing_spline(x, y,
 * lam) for the curves, a dense solution of (I + λ Q R⁻¹ Qᵀ) f = y for trace and score, minimize_scalar over
 * log λ for the choice (scipy's own choice of λ stops short of it).
 */
const N = 60;
const x = Array.from({ length: N }, (_, i) => i / (N - 1));
const y = x.map((at, i) => Math.sin(2 * Math.PI * at) + 0.2 * (((7919 * (i + 1)) % 101) / 101 - 0.5));
const PLACES = [0, 0.25, 0.5, 0.75, 1];

describe("smoothingSpline of one period of a sine with noise (Craven & Wahba 1979; scipy)", () => {
  const spline = smoothingSpline(x, y);

  it("finds the λ of least GCV, 3.5246425e-4, whatever the unit of time", () => {
    expect(spline.end).toBe("within");
    // The minimum is flat: ln λ is only as good as the square root of rounding in the score.
    expect(Math.abs(spline.lambda / 3.52464254868537e-4 - 1)).toBeLessThan(1e-6);
    const inMs = smoothingSpline(
      x.map((at) => 1000 * at),
      y,
    );
    expect(Math.abs(inMs.lambda / (1e9 * spline.lambda) - 1)).toBeLessThan(1e-6);
  });

  it("has GCV 0.00439674298, tr H 8.2625084 and σ 0.0615733239 there", () => {
    expect(spline.gcv).toBeCloseTo(0.004396742977991934, 13);
    expect(spline.freedom).toBeCloseTo(8.262508418279742, 5);
    expect(spline.sigma).toBeCloseTo(0.06157332387904756, 8);
  });

  it("has scipy's values, slopes and second derivatives", () => {
    const held = smoothingSpline(x, y, { lambda: 3.52464254868537e-4 });
    const byScipy = [
      [
        0.029754094313082166, 0.9881773956653235, 0.01260798116109766, -0.9974566142948352,
        -0.02186634563402258,
      ],
      [5.626818364766067, 0.1175198792349903, -6.286822694959475, 0.08569606370356375, 5.8098663957645105],
      [0, -38.77198550225694, -1.7774083168869481, 39.51036914672818, 0],
    ] as const;
    byScipy.forEach((row, derivative) => {
      row.forEach((value, i) => {
        expect(held.at(PLACES[i]!, derivative as 0 | 1 | 2)).toBeCloseTo(value, 10);
      });
    });
    expect(held.freedom).toBeCloseTo(8.262508418279742, 10);
  });

  it.each([
    [
      1e-3,
      [
        0.06883902323934019, 0.9683480506373766, 0.009762217737540456, -0.977396651856571,
        -0.06364071536988503,
      ],
      [5.237244567450583, 0.11868209711577293, -6.1934053286871045, 0.08239189041964456, 5.368882196087812],
    ],
    [
      1e-5,
      [
        0.007225579899288959, 0.995991997340824, 0.013303549224094702, -1.0044131437319013,
        0.007943101046726353,
      ],
      [6.084213929000217, 0.6281425591095768, -5.693365476860749, -0.29716681320598837, 5.693633237316006],
    ],
  ])("has scipy's values and slopes at λ = %d", (lambda, values, slopes) => {
    const held = smoothingSpline(x, y, { lambda });
    expect(held.end).toBe("given");
    PLACES.forEach((at, i) => {
      expect(held.at(at)).toBeCloseTo(values[i]!, 11);
      expect(held.at(at, 1)).toBeCloseTo(slopes[i]!, 9);
    });
  });
});
