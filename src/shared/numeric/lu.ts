/**
 * Factors a square matrix in place, P A = L U, with partial pivoting (Golub & Van Loan,
 * Matrix Computations, 3.4).
 * @param matrix [n × n], row by row; holds L below the diagonal and U from it on afterwards
 * @param pivots [n], receives the row exchanged with each row
 * @returns false when a pivot is 0 or not finite: the matrix is singular
 */
export function factor(matrix: Float64Array, pivots: Int32Array): boolean {
  const n = pivots.length;
  for (let k = 0; k < n; k++) {
    let p = k;
    for (let i = k + 1; i < n; i++) {
      if (Math.abs(matrix[i * n + k]) > Math.abs(matrix[p * n + k])) p = i;
    }
    pivots[k] = p;
    const pivot = matrix[p * n + k];
    if (pivot === 0 || !Number.isFinite(pivot)) return false;
    if (p !== k) {
      for (let j = 0; j < n; j++) {
        const kept = matrix[k * n + j];
        matrix[k * n + j] = matrix[p * n + j];
        matrix[p * n + j] = kept;
      }
    }
    for (let i = k + 1; i < n; i++) {
      const ratio = matrix[i * n + k] / pivot;
      matrix[i * n + k] = ratio;
      if (ratio === 0) continue;
      for (let j = k + 1; j < n; j++) matrix[i * n + j] = matrix[i * n + j] - ratio * matrix[k * n + j];
    }
  }
  return true;
}

/** Solves A x = b in place, from what `factor` left. */
export function solve(matrix: Float64Array, pivots: Int32Array, b: Float64Array): void {
  const n = pivots.length;
  for (let k = 0; k < n; k++) {
    const p = pivots[k];
    if (p === k) continue;
    const kept = b[k];
    b[k] = b[p];
    b[p] = kept;
  }
  for (let i = 1; i < n; i++) {
    let sum = b[i];
    for (let j = 0; j < i; j++) sum -= matrix[i * n + j] * b[j];
    b[i] = sum;
  }
  for (let i = n - 1; i >= 0; i--) {
    let sum = b[i];
    for (let j = i + 1; j < n; j++) sum -= matrix[i * n + j] * b[j];
    b[i] = sum / matrix[i * n + i];
  }
}
