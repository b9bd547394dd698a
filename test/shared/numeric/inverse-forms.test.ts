import { expect, it } from "vitest";
import { choleskyInPlace, forwardSubstitute } from "../../../src/shared/numeric/cholesky.ts";
import { sumOfInverseForms } from "../../../src/shared/numeric/inverse-forms.ts";
import fc from "../../support/drawn-inputs.ts";

it("gives what is worked by hand: on [[4, 2], [2, 4]], 1/3 for (1, 1) and 1/3 for (1, 0)", () => {
  const a = Float64Array.of(4, 2, 2, 4);
  choleskyInPlace(a, 2);
  const vectors = [
    { at: [0, 1], weights: [1, 1] },
    { at: [0], weights: [1] },
  ];
  expect(sumOfInverseForms(a, 2, vectors)).toBeCloseTo(1 / 3 + 1 / 3, 14);
});

it("is the sum of the squares of what solving one by one gives, to the last bit, also across blocks of zeros", () => {
  const value = fc.double({ min: -2, max: 2, noNaN: true });
  const vector = fc.record({
    at: fc.uniqueArray(fc.nat({ max: 6 }), { minLength: 1, maxLength: 3 }),
    weights: fc.tuple(value, value, value),
  });
  fc.assert(
    fc.property(
      fc.array(value, { minLength: 49, maxLength: 49 }),
      fc.array(vector, { minLength: 1, maxLength: 9 }),
      (entries, vectors) => {
        const n = 7;
        const a = new Float64Array(n * n);
        const b = (i: number, k: number) => (i >= 2 && i < 4 && k < 2 ? 0 : entries[n * i + k]!);
        for (let i = 0; i < n; i++)
          for (let j = 0; j <= i; j++) {
            a[i * n + j] = i === j ? 1 : 0;
            for (let k = 0; k <= j; k++) a[i * n + j]! += b(i, k) * b(j, k);
          }
        expect(choleskyInPlace(a, n)).not.toBeNull();
        let wanted = 0;
        for (const { at, weights } of vectors) {
          const unit = new Float64Array(n);
          at.forEach((index, i) => {
            unit[index] = weights[i]!;
          });
          for (const z of forwardSubstitute(a, n, unit)) wanted += z * z;
        }
        expect(sumOfInverseForms(a, n, vectors)).toBe(wanted);
      },
    ),
  );
});
