/** What the kernel is, for the notes of a bench. */
export const KERNEL = "a dense Cholesky factor of order 300";

/**
 * The reference kernel: factors A = L L^T for the fixed matrix A_ij = exp(-|i - j| / 20) + [i = j], row by
 * row, `times` times over. It needs nothing from outside, so that it can be sent to a page as text, and stays
 * the same work whatever becomes of the product's own algebra.
 * @returns ms of one
 * @throws Error when the factor is not that of a positive definite matrix: something is wrong with the kernel
 */
export function kernelMs(times: number): number {
  const n = 300;
  const from = performance.now();
  for (let time = 0; time < times; time++) {
    const factor = new Float64Array(n * n);
    for (let i = 0; i < n; i++) {
      for (let j = 0; j <= i; j++) {
        let sum = Math.exp((j - i) / 20) + (i === j ? 1 : 0);
        for (let k = 0; k < j; k++) sum -= factor[i * n + k]! * factor[j * n + k]!;
        factor[i * n + j] = i === j ? Math.sqrt(sum) : sum / factor[j * n + j]!;
      }
    }
    if (!(factor[n * n - 1]! > 0)) throw new Error("The reference kernel failed.");
  }
  return (performance.now() - from) / times;
}
