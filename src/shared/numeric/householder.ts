import { ok, type Result, refuse } from "../quantity/result.ts";
import { singularValues } from "./singular-values.ts";

/** A linear least-squares solution with its covariance for residuals of unit variance. */
export interface LinearFit {
  /** [n] */
  readonly x: Float64Array;
  /** Squared norm of b - A x. */
  readonly sumOfSquares: number;
  /**
   * (AᵀA)⁻¹, [n*n] row by row: the covariance of x when every row has been divided by
   * its standard uncertainty.
   */
  readonly covariance: Float64Array;
  /** Largest over smallest singular value of A with its columns scaled to unit length. */
  readonly condition: number;
}

/** A scaled condition beyond this leaves fewer than four good digits in the solution. */
const CONDITION_LIMIT = 1e12;

/**
 * Least squares min |A x - b| by Householder reflections, never forming AᵀA.
 * Source: Golub & Van Loan, Matrix Computations, 4th ed., alg. 5.2.1 and 5.3.2.
 * @param a [m*n] row by row, left as it was  @param b [m]
 * @returns the solution; or "rank-deficient" when the columns, scaled to unit length, are
 *   dependent to working precision
 * @throws RangeError when m < n or a size does not fit
 */
export function leastSquares(
  a: Float64Array,
  m: number,
  n: number,
  b: ArrayLike<number>,
): Result<LinearFit, "rank-deficient"> {
  if (m < n || a.length !== m * n || b.length !== m) {
    throw new RangeError(
      `leastSquares: need m >= n and matching sizes; got ${m}, ${n}, ${a.length}, ${b.length}`,
    );
  }
  const r = a.slice();
  const rotated = Float64Array.from(b);
  triangularise(r, m, n, rotated);
  const condition = scaledCondition(r, n);
  if (!(condition < CONDITION_LIMIT)) return refuse("rank-deficient", { condition, limit: CONDITION_LIMIT });
  let sumOfSquares = 0;
  for (let i = n; i < m; i++) sumOfSquares += rotated[i] ** 2;
  return ok({ x: solveUpper(r, n, rotated), sumOfSquares, covariance: inverseGram(r, n), condition });
}

/**
 * Turns A into R (upper triangle of the first n rows) and b into Qᵀb, both in place; what was below the
 * diagonal is zero afterwards.
 * @param a [m*n] row by row, m >= n  @param b [m]
 */
export function triangularise(a: Float64Array, m: number, n: number, b: Float64Array): void {
  const v = new Float64Array(m);
  const dots = new Float64Array(n);
  for (let k = 0; k < n; k++) {
    let square = 0;
    for (let i = k; i < m; i++) square += a[i * n + k] ** 2;
    const norm = Math.sqrt(square);
    if (norm === 0) continue;
    // The sign that avoids cancellation: the pivot moves away from zero.
    const pivot = a[k * n + k] > 0 ? -norm : norm;
    for (let i = k; i < m; i++) v[i] = a[i * n + k];
    v[k] = v[k] - pivot;
    const beta = -1 / (pivot * v[k]);
    reflect(a, m, n, b, k, v, beta, dots);
    a[k * n + k] = pivot;
    for (let i = k + 1; i < m; i++) a[i * n + k] = 0;
  }
}

/**
 * A - beta v (vᵀA) and b - beta v (vᵀb), in place, for the rows from k and the columns after it: both passes
 * run along the rows as they lie in memory.
 * @param dots [n], scratch for vᵀA
 */
function reflect(
  a: Float64Array,
  m: number,
  n: number,
  b: Float64Array,
  k: number,
  v: Float64Array,
  beta: number,
  dots: Float64Array,
): void {
  dots.fill(0);
  let dotB = 0;
  for (let i = k; i < m; i++) {
    const vi = v[i];
    if (vi === 0) continue;
    const row = i * n;
    for (let j = k + 1; j < n; j++) dots[j] += vi * a[row + j];
    dotB += vi * b[i];
  }
  for (let i = k; i < m; i++) {
    const vi = beta * v[i];
    if (vi === 0) continue;
    const row = i * n;
    for (let j = k + 1; j < n; j++) a[row + j] -= vi * dots[j];
    b[i] -= vi * dotB;
  }
}

/** Solves R x = c for the upper triangle in the first n rows of r. @returns x [n], a fresh array */
export function solveUpper(r: Float64Array, n: number, c: ArrayLike<number>): Float64Array {
  const x = new Float64Array(n);
  for (let i = n - 1; i >= 0; i--) {
    let sum = c[i];
    for (let k = i + 1; k < n; k++) sum -= r[i * n + k] * x[k];
    x[i] = sum / r[i * n + i];
  }
  return x;
}

/** (RᵀR)⁻¹ = R⁻¹R⁻ᵀ for the upper triangle in the first n rows of r. @returns [n*n] row by row, symmetric */
export function inverseGram(r: Float64Array, n: number): Float64Array {
  const inverse = new Float64Array(n * n);
  const unit = new Float64Array(n);
  for (let j = 0; j < n; j++) {
    unit.fill(0);
    unit[j] = 1;
    const column = solveUpper(r, n, unit);
    for (let i = 0; i <= j; i++) inverse[i * n + j] = column[i];
  }
  const gram = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = 0;
      for (let k = i; k < n; k++) sum += inverse[i * n + k] * inverse[j * n + k];
      gram[i * n + j] = sum;
      gram[j * n + i] = sum;
    }
  }
  return gram;
}

/**
 * Condition of R with its columns scaled to unit length, so that the units of the unknowns do not
 * count. Infinity when singular.
 */
export function scaledCondition(r: Float64Array, n: number): number {
  const scaled = new Float64Array(n * n);
  for (let j = 0; j < n; j++) {
    let norm = 0;
    for (let i = 0; i <= j; i++) norm = Math.hypot(norm, r[i * n + j]);
    if (!(norm > 0)) return Infinity;
    for (let i = 0; i <= j; i++) scaled[i * n + j] = r[i * n + j] / norm;
  }
  const { s } = singularValues(scaled, n, n);
  const least = s[n - 1];
  return least > 0 ? s[0] / least : Infinity;
}
