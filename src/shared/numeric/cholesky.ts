/**
 * Cholesky factor L of a symmetric positive definite matrix, A = L Lᵀ, in place of the lower triangle.
 * Source: Golub & Van Loan, Matrix Computations, 4th ed., alg. 4.2.2 (row-oriented).
 * @param a [n*n], row by row; only the lower triangle is read. Overwritten by L in its lower triangle.
 * @returns log determinant of A, or null when A is not positive definite to working precision
 */
export function choleskyInPlace(a: Float64Array, n: number): number | null {
  let logDet = 0;
  for (let i = 0; i < n; i++) {
    const rowI = i * n;
    for (let j = 0; j <= i; j++) {
      const rowJ = j * n;
      let sum = a[rowI + j] as number;
      for (let k = 0; k < j; k++) sum -= (a[rowI + k] as number) * (a[rowJ + k] as number);
      if (i === j) {
        if (!(sum > 0)) return null;
        const pivot = Math.sqrt(sum);
        a[rowI + i] = pivot;
        logDet += 2 * Math.log(pivot);
      } else {
        a[rowI + j] = sum / (a[rowJ + j] as number);
      }
    }
  }
  return logDet;
}

/**
 * Solves L z = b.
 * @param l [n*n] as choleskyInPlace leaves it  @param b [n]  @param first index of the first entry of b that is not zero
 * @returns z, a fresh array
 */
export function forwardSubstitute(l: Float64Array, n: number, b: ArrayLike<number>, first = 0): Float64Array {
  const z = new Float64Array(n);
  for (let i = first; i < n; i++) {
    let sum = b[i] as number;
    for (let k = first; k < i; k++) sum -= (l[i * n + k] as number) * (z[k] as number);
    z[i] = sum / (l[i * n + i] as number);
  }
  return z;
}

/** Solves Lᵀ x = z. @returns x, a fresh array */
export function backSubstitute(l: Float64Array, n: number, z: ArrayLike<number>): Float64Array {
  const x = new Float64Array(n);
  for (let i = n - 1; i >= 0; i--) {
    let sum = z[i] as number;
    for (let k = i + 1; k < n; k++) sum -= (l[k * n + i] as number) * (x[k] as number);
    x[i] = sum / (l[i * n + i] as number);
  }
  return x;
}
