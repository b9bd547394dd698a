/**
 * Inputs whose errors are correlated, as independent directions: one unit of a direction moves every
 * named input by its entry.
 */
export interface JointInputs {
  readonly names: readonly string[];
  /** [directions][names] */
  readonly directions: readonly (readonly number[])[];
}

const ROUNDING = 1e-12; // of an input's own variance: what is left below it is no direction of its own

/**
 * The directions of inputs from their standard uncertainties and correlation: the columns of L with L Lᵀ
 * their covariance (Cholesky without pivoting; a direction that the ones before use up is left out).
 * @param correlation [n][n]
 */
export function jointInputs(
  names: readonly string[],
  u: readonly number[],
  correlation: readonly (readonly number[])[],
): JointInputs {
  const n = names.length;
  const left = u.map((a, i) => u.map((b, j) => a * b * (i === j ? 1 : (correlation[i]?.[j] ?? 0))));
  const directions: number[][] = [];
  for (let k = 0; k < n; k++) {
    const pivot = left[k][k];
    if (!(pivot > ROUNDING * u[k] ** 2)) continue;
    const column = left.map((row, i) => (i < k ? 0 : row[k] / Math.sqrt(pivot)));
    for (let i = k; i < n; i++) for (let j = k; j < n; j++) left[i][j] -= column[i] * column[j];
    directions.push(column);
  }
  return { names, directions };
}
