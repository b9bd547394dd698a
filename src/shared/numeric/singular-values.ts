/** A = U diag(s) Vᵀ. */
export interface SingularValues {
  /** [m*n] row by row; a column that belongs to s = 0 is zero. */
  readonly u: Float64Array;
  /** [n], descending, >= 0. */
  readonly s: Float64Array;
  /** [n*n] row by row; column j belongs to s[j]. */
  readonly v: Float64Array;
}

const SWEEPS = 60; // Jacobi converges quadratically; ten sweeps are usual
const ORTHOGONAL = 1e-15; // cosine between two columns that counts as a right angle

/**
 * Singular values by one-sided Jacobi rotations: columns are turned in pairs until all are at right angles.
 * Small and accurate; meant for matrices of up to about a hundred columns.
 * Source: Hestenes, J. SIAM 6:51 (1958); Golub & Van Loan, Matrix Computations, 4th ed., 8.6.3.
 * @param a [m*n] row by row, left as it was
 * @throws RangeError when m < n (pad with rows of zeros) or an entry is not finite
 */
export function singularValues(a: Float64Array, m: number, n: number): SingularValues {
  if (m < n || a.length !== m * n || !a.every(Number.isFinite)) {
    throw new RangeError(
      `singularValues: need m >= n and finite entries; got ${m}, ${n}, ${a.length} entries`,
    );
  }
  // Columns are kept as rows: the inner loops then run along memory.
  const w = transposed(a, m, n);
  const v = new Float64Array(n * n);
  for (let i = 0; i < n; i++) v[i * n + i] = 1;
  for (let sweep = 0; sweep < SWEEPS; sweep++) {
    let turned = false;
    for (let p = 0; p < n - 1; p++) {
      for (let q = p + 1; q < n; q++) if (turnPair(w, v, m, n, p, q)) turned = true;
    }
    if (!turned) break;
  }
  const norms = Float64Array.from({ length: n }, (_, j) => norm(w, j * m, m));
  const order = [...norms.keys()].sort((i, j) => norms[j] - norms[i]);
  const s = Float64Array.from(order, (j) => norms[j]);
  const u = new Float64Array(m * n);
  const sortedV = new Float64Array(n * n);
  order.forEach((from, to) => {
    const size = norms[from];
    for (let i = 0; i < m; i++) u[i * n + to] = size > 0 ? w[from * m + i] / size : 0;
    for (let i = 0; i < n; i++) sortedV[i * n + to] = v[from * n + i];
  });
  return { u, s, v: sortedV };
}

/** Turns columns p and q at right angles to each other. @returns false when they were already */
function turnPair(w: Float64Array, v: Float64Array, m: number, n: number, p: number, q: number): boolean {
  let pp = 0;
  let qq = 0;
  let pq = 0;
  for (let i = 0; i < m; i++) {
    const x = w[p * m + i];
    const y = w[q * m + i];
    pp += x * x;
    qq += y * y;
    pq += x * y;
  }
  if (pq === 0 || Math.abs(pq) <= ORTHOGONAL * Math.sqrt(pp) * Math.sqrt(qq)) return false;
  const zeta = (qq - pp) / (2 * pq);
  const tangent = (zeta < 0 ? -1 : 1) / (Math.abs(zeta) + Math.hypot(1, zeta));
  const cos = 1 / Math.hypot(1, tangent);
  const sin = cos * tangent;
  turn(w, p * m, q * m, m, cos, sin);
  turn(v, p * n, q * n, n, cos, sin);
  return true;
}

function turn(rows: Float64Array, p: number, q: number, length: number, cos: number, sin: number): void {
  for (let i = 0; i < length; i++) {
    const x = rows[p + i];
    const y = rows[q + i];
    rows[p + i] = cos * x - sin * y;
    rows[q + i] = sin * x + cos * y;
  }
}

function transposed(a: Float64Array, m: number, n: number): Float64Array {
  const out = new Float64Array(m * n);
  for (let i = 0; i < m; i++) for (let j = 0; j < n; j++) out[j * m + i] = a[i * n + j];
  return out;
}

function norm(row: Float64Array, from: number, length: number): number {
  let sum = 0;
  for (let i = 0; i < length; i++) sum += row[from + i] ** 2;
  return Math.sqrt(sum);
}
