/**
 * One shot's release speed against the tuned model's: relative difference, and its variance from
 * measuring and from the gauge.
 */
export interface SpeedMisfit {
  readonly relative: number;
  readonly variance: number;
}

/**
 * Relative standard deviation of release speed from shot to shot beyond what measuring and the gauge explain:
 * the moment estimator of a random effect, τ² = max(0, (Q - (n - 1)) / (Σw - Σw²/Σw)), Q = Σ w (e - ē)². What
 * all shots share is in the mean.
 * Source: DerSimonian & Laird, Controlled Clinical Trials 7:177 (1986).
 * @returns null for fewer than three shots, which say nothing of it
 */
export function shotScatter(misfits: readonly SpeedMisfit[]): number | null {
  const n = misfits.length;
  if (n < 3) return null;
  const weights = misfits.map(({ variance }) => 1 / variance);
  const sum = weights.reduce((total, w) => total + w, 0);
  const squares = weights.reduce((total, w) => total + w * w, 0);
  const mean = misfits.reduce((total, { relative }, i) => total + weights[i] * relative, 0) / sum;
  const q = misfits.reduce((total, { relative }, i) => total + weights[i] * (relative - mean) ** 2, 0);
  return Math.sqrt(Math.max(0, (q - (n - 1)) / (sum - squares / sum)));
}
