/**
 * A polynomial p(z) = sum c_j z^j in the centred and scaled abscissa z = (x - centre)/half, so that the
 * normal equations stay well conditioned whatever the range of x.
 */
export interface WeightedPolynomial {
  readonly centre: number;
  readonly half: number;
  /** [degree + 1], c_0 first. */
  readonly coefficients: readonly number[];
  /** [degree + 1][degree + 1], from the stated u alone. */
  readonly covariance: readonly (readonly number[])[];
  /** [n], y - p(x). */
  readonly residuals: readonly number[];
  /** Sum of (residual/u)². */
  readonly chi2: number;
  /** n - degree - 1. */
  readonly dof: number;
}

/**
 * Weighted least-squares polynomial, weights 1/u². Covariance (AᵀWA)⁻¹. Source: Bevington & Robinson, Data
 * Reduction and Error Analysis for the Physical Sciences, 3rd ed., 7.2.
 * @param x [n], not all equal @param y [n] @param u [n], > 0
 * @throws RangeError when lengths differ, a number is not finite, a u is not > 0, or fewer
 *   distinct x than coefficients
 */
export function weightedPolynomial(
  x: readonly number[],
  y: readonly number[],
  u: readonly number[],
  degree: number,
): WeightedPolynomial {
  const n = x.length;
  const size = degree + 1;
  const usable = x.every((one, i) => Number.isFinite(one) && Number.isFinite(y[i]) && u[i] > 0);
  if (!usable || y.length !== n || u.length !== n || u.includes(Number.POSITIVE_INFINITY)) {
    throw new RangeError(
      `weightedPolynomial: need finite x, y and u > 0 of one length; got ${n}, ${y.length}, ${u.length}`,
    );
  }
  if (new Set(x).size < size) {
    throw new RangeError(`weightedPolynomial: ${new Set(x).size} distinct x for ${size} coefficients`);
  }
  const [low, high] = [Math.min(...x), Math.max(...x)];
  const centre = (low + high) / 2;
  const half = high > low ? (high - low) / 2 : 1;
  // Sums of w z^m give every entry of the normal equations, which hold z^(j + k) at [j][k].
  const sums = new Float64Array(2 * size - 1);
  const right = new Array<number>(size).fill(0);
  for (let i = 0; i < n; i++) {
    const z = (x[i] - centre) / half;
    let power = 1 / (u[i] * u[i]);
    for (let m = 0; m < sums.length; m++) {
      sums[m] = sums[m] + power;
      if (m < size) right[m] = right[m] + power * y[i];
      power *= z;
    }
  }
  const normal = right.map((_, j) => right.map((_, k) => sums[j + k]));
  const covariance = inverse(normal);
  const coefficients = covariance.map((row) => dot(row, right));
  const residuals = x.map((one, i) => y[i] - valueAt(coefficients, (one - centre) / half));
  const chi2 = residuals.reduce((sum, r, i) => sum + (r / u[i]) ** 2, 0);
  return { centre, half, coefficients, covariance, residuals, chi2, dof: n - size };
}

/** Horner's scheme. */
function valueAt(coefficients: readonly number[], z: number): number {
  let value = 0;
  for (let j = coefficients.length - 1; j >= 0; j--) value = value * z + coefficients[j];
  return value;
}

function dot(a: readonly number[], b: readonly number[]): number {
  return a.reduce((sum, one, i) => sum + one * b[i], 0);
}

/**
 * Inverse of a small symmetric positive definite matrix by Gauss-Jordan elimination, which
 * needs no pivoting for such.
 */
function inverse(matrix: readonly (readonly number[])[]): number[][] {
  const n = matrix.length;
  const work = matrix.map((row, i) => [...row, ...row.map((_, j) => (i === j ? 1 : 0))]);
  for (let i = 0; i < n; i++) {
    const pivotRow = work[i] as number[];
    const pivot = pivotRow[i];
    for (let j = 0; j < 2 * n; j++) pivotRow[j] = pivotRow[j] / pivot;
    for (let k = 0; k < n; k++) {
      if (k === i) continue;
      const row = work[k] as number[];
      const factor = row[i];
      for (let j = 0; j < 2 * n; j++) row[j] = row[j] - factor * pivotRow[j];
    }
  }
  return work.map((row) => row.slice(n));
}
