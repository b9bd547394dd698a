/**
 * Cholesky factor L of a symmetric positive definite matrix, A = L Lᵀ, in place of the lower triangle. What a
 * row begins with of zeros stays zero and is passed over.
 * Source: Golub & Van Loan, Matrix Computations, 4th ed., alg. 4.2.2 (row-oriented); the envelope: George &
 * Liu, Computer Solution of Large Sparse Positive Definite Systems (1981), ch. 4.
 * @param a [n*n], row by row; only the lower triangle is read. Overwritten by L in its lower triangle.
 * @returns log determinant of A, or null when A is not positive definite to working precision
 */
export function choleskyInPlace(a: Float64Array, n: number): number | null {
  let logDet = 0;
  const first = new Int32Array(n);
  for (let i = 0; i < n; i++) {
    const rowI = i * n;
    let begin = 0;
    while (begin < i && a[rowI + begin] === 0) begin++;
    first[i] = begin;
    // Four columns at a time: row i is then read once for all of them. The order of each sum stays.
    let j = begin;
    for (; j + 3 < i; j += 4) {
      const row0 = j * n;
      const row1 = row0 + n;
      const row2 = row1 + n;
      const row3 = row2 + n;
      let sum0 = a[rowI + j];
      let sum1 = a[rowI + j + 1];
      let sum2 = a[rowI + j + 2];
      let sum3 = a[rowI + j + 3];
      const from = Math.max(begin, Math.min(first[j], first[j + 1], first[j + 2], first[j + 3]));
      for (let k = from; k < j; k++) {
        const x = a[rowI + k];
        sum0 -= x * a[row0 + k];
        sum1 -= x * a[row1 + k];
        sum2 -= x * a[row2 + k];
        sum3 -= x * a[row3 + k];
      }
      const x0 = sum0 / a[row0 + j];
      sum1 -= x0 * a[row1 + j];
      const x1 = sum1 / a[row1 + j + 1];
      sum2 -= x0 * a[row2 + j];
      sum2 -= x1 * a[row2 + j + 1];
      const x2 = sum2 / a[row2 + j + 2];
      sum3 -= x0 * a[row3 + j];
      sum3 -= x1 * a[row3 + j + 1];
      sum3 -= x2 * a[row3 + j + 2];
      a[rowI + j] = x0;
      a[rowI + j + 1] = x1;
      a[rowI + j + 2] = x2;
      a[rowI + j + 3] = sum3 / a[row3 + j + 3];
    }
    for (; j <= i; j++) {
      const rowJ = j * n;
      let sum = a[rowI + j];
      for (let k = Math.max(begin, first[j]); k < j; k++) sum -= a[rowI + k] * a[rowJ + k];
      if (i === j) {
        if (!(sum > 0)) return null;
        const pivot = Math.sqrt(sum);
        a[rowI + i] = pivot;
        logDet += 2 * Math.log(pivot);
      } else {
        a[rowI + j] = sum / a[rowJ + j];
      }
    }
  }
  return logDet;
}

/**
 * Solves L z = b.
 * @param l [n*n] as choleskyInPlace leaves it
 * @param b [n]
 * @param first index of the first entry of b that is not zero
 * @returns z, a fresh array
 */
export function forwardSubstitute(l: Float64Array, n: number, b: ArrayLike<number>, first = 0): Float64Array {
  const z = new Float64Array(n);
  for (let i = first; i < n; i++) {
    let sum = b[i];
    for (let k = first; k < i; k++) sum -= l[i * n + k] * z[k];
    z[i] = sum / l[i * n + i];
  }
  return z;
}

/** Solves Lᵀ x = z. @returns x, a fresh array */
export function backSubstitute(l: Float64Array, n: number, z: ArrayLike<number>): Float64Array {
  const x = new Float64Array(n);
  for (let i = 0; i < n; i++) x[i] = z[i];
  // Row by row: each solved entry is taken from the ones above it at once.
  for (let i = n - 1; i >= 0; i--) {
    const row = i * n;
    const xi = x[i] / l[row + i];
    x[i] = xi;
    for (let k = 0; k < i; k++) x[k] = x[k] - xi * l[row + k];
  }
  return x;
}
