import { inverseGram, solveUpper, triangularise } from "../numeric/householder.ts";

/**
 * Covariance of unknowns of which some were fitted and some stay as they were stated, in units of what was
 * known before. The fitted ones carry what the data leave of them, C = (JfᵀJf)⁻¹, and what the uncertainty of
 * the others does to them, S = -C JfᵀJs: cov(f) = C + S Sᵀ, cov(f, s) = S, cov(s) = 1.
 * @param jacobian [m*n] whitened residuals over unknowns, rows of what was known before included
 * @param fitted whether each of the n unknowns was fitted
 * @returns [n*n]
 */
export function jointCovariance(
  jacobian: Float64Array,
  m: number,
  n: number,
  fitted: readonly boolean[],
): Float64Array {
  const order = [
    ...[...fitted.keys()].filter((j) => fitted[j]),
    ...[...fitted.keys()].filter((j) => !fitted[j]),
  ];
  const free = fitted.filter(Boolean).length;
  const a = Float64Array.from({ length: m * n }, (_, i) => jacobian[Math.floor(i / n) * n + order[i % n]]);
  triangularise(a, m, n, new Float64Array(m));
  const r = Float64Array.from({ length: free * free }, (_, i) => a[Math.floor(i / free) * n + (i % free)]);
  const own = inverseGram(r, free);
  const shifts = Array.from({ length: n - free }, (_, k) =>
    solveUpper(
      r,
      free,
      Float64Array.from({ length: free }, (_, i) => -a[i * n + free + k]),
    ),
  );
  const out = new Float64Array(n * n);
  const put = (i: number, j: number, value: number) => {
    out[order[i] * n + order[j]] = value;
    out[order[j] * n + order[i]] = value;
  };
  for (let i = 0; i < free; i++) {
    for (let j = 0; j <= i; j++) {
      put(i, j, own[i * free + j] + shifts.reduce((sum, shift) => sum + shift[i] * shift[j], 0));
    }
    shifts.forEach((shift, k) => {
      put(i, free + k, shift[i]);
    });
  }
  shifts.forEach((_, k) => {
    put(free + k, free + k, 1);
  });
  return out;
}
