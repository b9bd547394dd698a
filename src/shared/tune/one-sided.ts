import { chiSquareTail } from "../numeric/chi-square.ts";

const FAR = 30; // u below the limit: what is left there is 0.03 u, and the tail is not yet rounded to 0

/**
 * Mean square about 0 of a normal distribution of which only what is above 0 counts: with α = -μ/σ and
 * λ = φ(α)/(1 - Φ(α)) its mean is σ (λ - α) and its variance σ² (1 + α λ - λ²). Source: Johnson, Kotz &
 * Balakrishnan, Continuous Univariate Distributions 1, 2nd ed. (1994), 10.1.
 */
export function squareAboveZero(mean: number, sd: number): number {
  const alpha = Math.min(FAR, -mean / sd);
  const lambda = Math.exp(-(alpha ** 2) / 2) / Math.sqrt(2 * Math.PI) / tail(alpha);
  return sd ** 2 * (1 + alpha * lambda - lambda ** 2 + (lambda - alpha) ** 2);
}

/**
 * A covariance [n*n] after one of its unknowns was found to have another variance: the others keep their
 * regression on it, and what they owe to it grows or shrinks with it.
 */
export function withVariance(covariance: Float64Array, at: number, variance: number): Float64Array {
  const n = Math.sqrt(covariance.length);
  const own = covariance[at * n + at];
  return covariance.map((one, k) => {
    const [i, j] = [Math.floor(k / n), k % n];
    return one + ((covariance[i * n + at] * covariance[j * n + at]) / own ** 2) * (variance - own);
  });
}

/** Of the standard normal distribution above x. */
function tail(x: number): number {
  const far = chiSquareTail(x * x, 1) / 2;
  return x >= 0 ? far : 1 - far;
}
