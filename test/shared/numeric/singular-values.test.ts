import { describe, expect, it } from "vitest";
import { singularValues } from "../../../src/shared/numeric/singular-values.ts";
import fc from "../../support/drawn-inputs.ts";

describe("singularValues", () => {
  it("gives the case worked by hand: [[3, 0], [4, 5]] has sqrt 45 and sqrt 5", () => {
    const { s } = singularValues(Float64Array.of(3, 0, 4, 5), 2, 2);
    expect(s[0]).toBeCloseTo(Math.sqrt(45), 13);
    expect(s[1]).toBeCloseTo(Math.sqrt(5), 13);
  });

  it("rebuilds any matrix from its factors, with V orthogonal and s descending", () => {
    const entry = fc.double({ min: -10, max: 10, noNaN: true });
    fc.assert(
      fc.property(fc.array(entry, { minLength: 20, maxLength: 20 }), (entries) => {
        const [m, n] = [5, 4];
        const { u, s, v } = singularValues(Float64Array.from(entries), m, n);
        for (let i = 0; i < m; i++)
          for (let j = 0; j < n; j++) {
            let sum = 0;
            for (let k = 0; k < n; k++) sum += u[i * n + k]! * s[k]! * v[j * n + k]!;
            expect(Math.abs(sum - entries[i * n + j]!)).toBeLessThan(1e-12 * (1 + s[0]!));
          }
        for (let k = 1; k < n; k++) expect(s[k]!).toBeLessThanOrEqual(s[k - 1]!);
        for (let j = 0; j < n; j++) {
          let square = 0;
          for (let i = 0; i < n; i++) square += v[i * n + j]! ** 2;
          expect(square).toBeCloseTo(1, 12);
        }
      }),
    );
  });

  it("finds the direction without effect of a singular matrix", () => {
    const { s, v } = singularValues(Float64Array.of(1, 2, 2, 4, 3, 6), 3, 2);
    expect(s[1]! / s[0]!).toBeLessThan(1e-15);
    expect(v[1]! / v[3]!).toBeCloseTo(-2, 13);
  });

  it("throws RangeError on entries that are not finite", () => {
    expect(() => singularValues(Float64Array.of(1, Number.NaN), 1, 2)).toThrow(RangeError);
  });
});
