import { describe, expect, it } from "vitest";
import { localPolynomialWeights } from "../../src/shared/numeric/local-polynomial.ts";

/**
 * Integer tables of Savitzky & Golay, Anal. Chem. 36:1627 (1964), with the corrections of Steinier, Termonia
 * & Deltour, Anal. Chem. 44:1906 (1972); transcribed from memory and each confirmed with scipy 1.10,
 * savgol_coeffs(N, p, deriv=d, use="dot") (tools/reference/differentiation.py).
 */
const TABLE: readonly [n: number, p: number, d: number, integers: readonly number[], norm: number][] = [
  [5, 2, 0, [-3, 12, 17, 12, -3], 35],
  [7, 3, 0, [-2, 3, 6, 7, 6, 3, -2], 21],
  [9, 2, 0, [-21, 14, 39, 54, 59, 54, 39, 14, -21], 231],
  [7, 4, 0, [5, -30, 75, 131, 75, -30, 5], 231],
  [9, 5, 0, [15, -55, 30, 135, 179, 135, 30, -55, 15], 429],
  [5, 1, 1, [-2, -1, 0, 1, 2], 10],
  [7, 2, 1, [-3, -2, -1, 0, 1, 2, 3], 28],
  [9, 1, 1, [-4, -3, -2, -1, 0, 1, 2, 3, 4], 60],
  [5, 3, 1, [1, -8, 0, 8, -1], 12],
  [7, 4, 1, [22, -67, -58, 0, 58, 67, -22], 252],
  [9, 3, 1, [86, -142, -193, -126, 0, 126, 193, 142, -86], 1188],
  [5, 2, 2, [2, -1, -2, -1, 2], 7],
  [7, 3, 2, [5, 0, -3, -4, -3, 0, 5], 42],
  [9, 2, 2, [28, 7, -8, -17, -20, -17, -8, 7, 28], 462],
  [7, 4, 2, [-13, 67, -19, -70, -19, 67, -13], 132],
  [9, 5, 2, [-126, 371, 151, -211, -370, -211, 151, 371, -126], 1716],
];

describe("localPolynomialWeights", () => {
  it.each(TABLE)(
    "gives the published weights for N %i, degree %i, derivative %i",
    (n, p, d, integers, norm) => {
      const weights = localPolynomialWeights(n, p, d, (n - 1) / 2);
      integers.forEach((integer, i) => {
        expect(weights[i]).toBeCloseTo(integer / norm, 13);
      });
    },
  );

  it("is the same for the two degrees that share a table: an odd power adds nothing to an even derivative at the centre, and so on", () => {
    for (const [n, p, d] of TABLE) {
      const [centre, twin] = [(n - 1) / 2, (p - d) % 2 === 0 ? p + 1 : p - 1];
      if (twin < d || twin >= n) continue;
      const [own, other] = [
        localPolynomialWeights(n, p, d, centre),
        localPolynomialWeights(n, twin, d, centre),
      ];
      own.forEach((weight, i) => {
        expect(other[i]).toBeCloseTo(weight, 12);
      });
    }
  });

  it("gives the one-sided weights at the newest sample (Gorry, Anal. Chem. 62:570, 1990)", () => {
    const five = localPolynomialWeights(5, 2, 1, 4);
    [26, -27, -40, -13, 54].forEach((integer, i) => {
      expect(five[i]).toBeCloseTo(integer / 70, 13);
    });
    const seven = localPolynomialWeights(7, 2, 1, 6);
    [0.25, -0.0714286, -0.25, -0.2857143, -0.1785714, 0.0714286, 0.4642857].forEach((weight, i) => {
      expect(seven[i]).toBeCloseTo(weight, 7);
    });
  });

  it("refuses sizes that do not fit, with the values received", () => {
    expect(() => localPolynomialWeights(3, 3, 1, 1)).toThrow(/n 3, degree 3/);
    expect(() => localPolynomialWeights(5, 2, 1, 5)).toThrow(RangeError);
  });
});
