import { expect, it } from "vitest";
import { backSubstitute, choleskyInPlace, forwardSubstitute } from "../../../src/shared/numeric/cholesky.ts";
import fc from "../../support/drawn-inputs.ts";

it("solves the case worked by hand: [[4, 2], [2, 5]] x = [8, 12] has x = [1, 2] and determinant 16", () => {
  const a = Float64Array.of(4, 2, 2, 5);
  expect(choleskyInPlace(a, 2)).toBeCloseTo(Math.log(16), 14);
  expect([...backSubstitute(a, 2, forwardSubstitute(a, 2, [8, 12]))]).toEqual([1, 2]);
});

it("gives back the right-hand side for any matrix B Bᵀ + I", () => {
  fc.assert(
    fc.property(
      fc.array(fc.double({ min: -3, max: 3, noNaN: true }), { minLength: 25, maxLength: 25 }),
      (b) => {
        const n = 5;
        const a = new Float64Array(n * n);
        for (let i = 0; i < n; i++)
          for (let j = 0; j < n; j++) {
            a[i * n + j] = i === j ? 1 : 0;
            for (let k = 0; k < n; k++) a[i * n + j]! += b[i * n + k]! * b[j * n + k]!;
          }
        const wanted = [1, -2, 3, 0.5, 4];
        const x = (factor: Float64Array) => backSubstitute(factor, n, forwardSubstitute(factor, n, wanted));
        const factor = a.slice();
        choleskyInPlace(factor, n);
        const solved = x(factor);
        for (let i = 0; i < n; i++) {
          let sum = 0;
          for (let j = 0; j < n; j++) sum += a[i * n + j]! * solved[j]!;
          expect(sum).toBeCloseTo(wanted[i]!, 8);
        }
      },
    ),
  );
});

it("gives L Lᵀ = A at every size, odd and even, with rows that begin with zeros", () => {
  for (let n = 1; n <= 19; n++) {
    // rows 5 to 9 begin with five zeros: nothing in common with the first five
    const a = new Float64Array(n * n);
    for (let i = 0; i < n; i++) {
      for (let j = 0; j <= i; j++) {
        a[i * n + j] = i === j ? 20 + i : i >= 5 && i < 10 && j < 5 ? 0 : Math.sin(3 * i + 7 * j);
      }
    }
    const l = a.slice();
    expect(choleskyInPlace(l, n)).not.toBeNull();
    for (let i = 0; i < n; i++) {
      for (let j = 0; j <= i; j++) {
        let sum = 0;
        for (let k = 0; k <= j; k++) sum += l[i * n + k]! * l[j * n + k]!;
        expect(sum, `${n}: ${i}, ${j}`).toBeCloseTo(a[i * n + j]!, 12);
      }
    }
  }
});

it("says null for a matrix that is not positive definite", () => {
  expect(choleskyInPlace(Float64Array.of(1, 2, 2, 1), 2)).toBeNull();
});

it("keeps the zeros that rows begin with, and factors the rest", () => {
  const wanted = Float64Array.of(2, 0, 0, 0, 0, 3, 0, 0, 1, -1, 2, 0, -2, 4, 1, 5);
  const n = 4;
  const a = new Float64Array(n * n);
  for (let i = 0; i < n; i++)
    for (let j = 0; j <= i; j++)
      for (let k = 0; k <= j; k++) a[i * n + j]! += wanted[i * n + k]! * wanted[j * n + k]!;
  expect(choleskyInPlace(a, n)).toBeCloseTo(2 * Math.log(2 * 3 * 2 * 5), 12);
  for (let i = 0; i < n; i++) for (let j = 0; j <= i; j++) expect(a[i * n + j]).toBe(wanted[i * n + j]);
});
