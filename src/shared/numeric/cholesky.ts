/**
 * Cholesky factor L of a symmetric positive definite matrix, A = L Lᵀ, in place of the lower triangle. What a
 * row begins with of zeros stays zero and is passed over.
 * Source: Golub & Van Loan, Matrix Computations, 4th ed., alg. 4.2.2 (row-oriented); the envelope: George &
 * Liu, Computer Solution of Large Sparse Positive Definite Systems (1981), ch. 4.
 * @param a [n*n], row by row; only the lower triangle is read. Overwritten by L in its lower triangle.
 * @returns log determinant of A, or null when A is not positive definite to working precision
 */
export function choleskyInPlace(a: Float64Array, n: number): number | null {
  const first = new Int32Array(n);
  for (let i = 0; i < n; i++) {
    let begin = 0;
    while (begin < i && a[i * n + begin] === 0) begin++;
    first[i] = begin;
  }
  let logDet = 0;
  // Two rows by four columns at a time: each entry read then serves several sums. The order of each stays.
  for (let i = 0; i < n; i += 2) {
    const paired = i + 1 < n;
    const begin = paired ? Math.min(first[i], first[i + 1]) : first[i];
    let j = begin & ~3;
    if (paired) {
      for (; j + 3 < i; j += 4) {
        twoByFour(a, n, i, j, Math.max(begin, Math.min(first[j], first[j + 1], first[j + 2], first[j + 3])));
      }
    }
    for (let row = i; row < i + 2 && row < n; row++) {
      const pivot = finishRow(a, n, row, j, begin, first);
      if (pivot === null) return null;
      logDet += 2 * Math.log(pivot);
    }
  }
  return logDet;
}

/**
 * The last entries of a row of the factor, from column `from` on.
 * @returns its diagonal, or null where the matrix is not positive definite
 */
function finishRow(
  a: Float64Array,
  n: number,
  row: number,
  from: number,
  begin: number,
  first: Int32Array,
): number | null {
  const own = row * n;
  for (let column = from; column < row; column++) {
    const other = column * n;
    let sum = a[own + column];
    for (let k = Math.max(begin, first[column]); k < column; k++) sum -= a[own + k] * a[other + k];
    a[own + column] = sum / a[other + column];
  }
  let sum = a[own + row];
  for (let k = begin; k < row; k++) {
    const x = a[own + k];
    sum -= x * x;
  }
  if (!(sum > 0)) return null;
  const pivot = Math.sqrt(sum);
  a[own + row] = pivot;
  return pivot;
}

/** Entries j to j + 3 of rows i and i + 1 of the factor. @param from where the rows above begin */
function twoByFour(a: Float64Array, n: number, i: number, j: number, from: number): void {
  const own = i * n;
  const next = own + n;
  const row0 = j * n;
  const row1 = row0 + n;
  const row2 = row1 + n;
  const row3 = row2 + n;
  let s0 = a[own + j];
  let s1 = a[own + j + 1];
  let s2 = a[own + j + 2];
  let s3 = a[own + j + 3];
  let t0 = a[next + j];
  let t1 = a[next + j + 1];
  let t2 = a[next + j + 2];
  let t3 = a[next + j + 3];
  for (let k = from; k < j; k++) {
    const x = a[own + k];
    const y = a[next + k];
    const b0 = a[row0 + k];
    s0 -= x * b0;
    t0 -= y * b0;
    const b1 = a[row1 + k];
    s1 -= x * b1;
    t1 -= y * b1;
    const b2 = a[row2 + k];
    s2 -= x * b2;
    t2 -= y * b2;
    const b3 = a[row3 + k];
    s3 -= x * b3;
    t3 -= y * b3;
  }
  const p0 = a[row0 + j];
  s0 /= p0;
  t0 /= p0;
  const l10 = a[row1 + j];
  const p1 = a[row1 + j + 1];
  s1 = (s1 - s0 * l10) / p1;
  t1 = (t1 - t0 * l10) / p1;
  const l20 = a[row2 + j];
  const l21 = a[row2 + j + 1];
  const p2 = a[row2 + j + 2];
  s2 = (s2 - s0 * l20 - s1 * l21) / p2;
  t2 = (t2 - t0 * l20 - t1 * l21) / p2;
  const l30 = a[row3 + j];
  const l31 = a[row3 + j + 1];
  const l32 = a[row3 + j + 2];
  const p3 = a[row3 + j + 3];
  a[own + j] = s0;
  a[own + j + 1] = s1;
  a[own + j + 2] = s2;
  a[own + j + 3] = (s3 - s0 * l30 - s1 * l31 - s2 * l32) / p3;
  a[next + j] = t0;
  a[next + j + 1] = t1;
  a[next + j + 2] = t2;
  a[next + j + 3] = (t3 - t0 * l30 - t1 * l31 - t2 * l32) / p3;
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
