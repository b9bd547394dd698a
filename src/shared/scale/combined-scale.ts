import { backSubstitute, choleskyInPlace, forwardSubstitute } from "../numeric/cholesky.ts";
import type { Measured } from "../quantity/measured.ts";
import type { PxPoint } from "../quantity/point.ts";
import { ok, type Result, refuse } from "../quantity/result.ts";
import { type Agreement, agreement, WRONG_ENTRY, widenedU } from "./agreement.ts";
import { twoPointScale } from "./two-point-scale.ts";

/** One placing of a rod of known length in the picture. */
export interface PlacedRod {
  readonly a: PxPoint;
  readonly b: PxPoint;
  /** px, standard uncertainty of each picked coordinate. */
  readonly uPx: number;
  readonly rodM: Measured;
  /**
   * Placings with the same name are of the same rod and share its length error; null for a rod of its own.
   */
  readonly sameRod: string | null;
}

export interface CombinedScale {
  /** m/px; u is enlarged as widenedU says. */
  readonly scale: Measured;
  /** m/px, standard uncertainty as the stated inputs give it, before enlarging. */
  readonly statedU: number;
  /** [n], sum 1: how much each placing counts. */
  readonly weights: readonly number[];
  readonly agreement: Agreement;
  /**
   * Each placing's own scale, and its distance from the combined scale in standard
   * uncertainties of that distance.
   */
  readonly rods: readonly { readonly scale: Measured; readonly deviation: number }[];
  /** Largest relative difference between two placings' scales. */
  readonly spread: number;
}

/**
 * Scale from several rods: the best linear unbiased combination s = (1ᵀV⁻¹1)⁻¹ 1ᵀV⁻¹ s_i of the single
 * scales, with V_ij = [i = j] 2 (s uPx_i/d_i)² + [same rod] s² (u(L)/L)_i (u(L)/L)_j. The combined s stands
 * in V, not each s_i: with an error in common, weights that follow the data pull the mean low (Peelle's
 * puzzle). Different rods are independent.
 * Sources: Aitken, Proc. R. Soc. Edinb. 55:42 (1935); Birge, Phys. Rev. 40:207 (1932).
 * @returns m/px; or "no-rods"; "too-close" with `rod` (index), `separationPx` and `neededPx`; "rods-disagree"
 *   when scatter like this has a chance below 5.7e-7 (five standard deviations: a wrong length or a wrong
 *   click), with `birge`, `spread`, `rod`
 * @throws RangeError as twoPointScale
 */
export function combinedScale(
  rods: readonly PlacedRod[],
): Result<CombinedScale, "no-rods" | "too-close" | "rods-disagree"> {
  if (rods.length === 0) return refuse("no-rods");
  const scales: Measured[] = [];
  for (const [rod, { a, b, rodM, uPx }] of rods.entries()) {
    const one = twoPointScale(a, b, rodM, uPx);
    if (!one.ok) return refuse("too-close", { ...one.numbers, rod });
    scales.push(one.value);
  }
  const values = scales.map((one) => one.value);
  let mean = values.reduce((sum, s) => sum + s, 0) / values.length;
  let combined = weighted(values, covariance(rods, mean));
  // The weights depend on the mean only through a common factor squared: one repeat reaches
  // rounding for any usable data.
  for (let pass = 0; pass < 3; pass++) {
    mean = combined.mean;
    combined = weighted(values, covariance(rods, mean));
  }
  const spread = (Math.max(...values) - Math.min(...values)) / combined.mean;
  const consistency = agreement(combined.chiSquare, rods.length - 1);
  const v = covariance(rods, combined.mean);
  const deviations = values.map((s, i) => {
    // var(s_i - s) = V_ii - var(s) for the best linear combination
    const variance = v[i * values.length + i] - combined.variance;
    return variance > 1e-12 * combined.variance ? (s - combined.mean) / Math.sqrt(variance) : 0;
  });
  if (consistency.chance < WRONG_ENTRY) {
    return refuse("rods-disagree", { birge: consistency.birge, spread, rod: farthest(deviations) });
  }
  const statedU = Math.sqrt(combined.variance);
  const singles = scales.map(({ value, u }, i) => ({
    away: value - combined.mean,
    deviation: deviations[i],
    u,
  }));
  return ok({
    scale: { value: combined.mean, u: widenedU(statedU, consistency, singles) },
    statedU,
    weights: combined.weights,
    agreement: consistency,
    rods: scales.map((scale, i) => ({ scale, deviation: deviations[i] })),
    spread,
  });
}

/**
 * m/px that the placings give with the weights held: what a small change of a pick or a length does to the
 * combined scale, whether or not the rods still agree after it.
 * @param weights of combinedScale, same order
 * @returns null when the ends of a rod fall together, or its length is not above 0
 */
export function scaleAtWeights(rods: readonly PlacedRod[], weights: readonly number[]): number | null {
  let sum = 0;
  for (const [i, { a, b, rodM }] of rods.entries()) {
    const separationPx = Math.hypot(b[0] - a[0], b[1] - a[1]);
    if (!(separationPx > 0 && rodM.value > 0)) return null;
    sum += (weights[i] * rodM.value) / separationPx;
  }
  return sum;
}

/**
 * V, with a trace of independent noise so that two placings without any error of their own
 * do not make it singular.
 */
function covariance(rods: readonly PlacedRod[], scale: number): Float64Array {
  const n = rods.length;
  const v = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    const { a, b, uPx, rodM, sameRod } = rods[i];
    const own = Math.max(2 * (uPx / Math.hypot(b[0] - a[0], b[1] - a[1])) ** 2, 1e-18);
    for (let j = 0; j <= i; j++) {
      const other = rods[j];
      const shared = i === j || (sameRod !== null && sameRod === other.sameRod);
      const common = shared ? (rodM.u / rodM.value) * (other.rodM.u / other.rodM.value) : 0;
      v[i * n + j] = scale ** 2 * ((i === j ? own : 0) + common);
      v[j * n + i] = v[i * n + j];
    }
  }
  return v;
}

/** Generalised least squares of one constant. */
function weighted(values: readonly number[], v: Float64Array) {
  const n = values.length;
  const factor = v.slice();
  if (choleskyInPlace(factor, n) === null)
    throw new Error("combinedScale: covariance of the rods is not positive definite");
  const ones = backSubstitute(
    factor,
    n,
    forwardSubstitute(
      factor,
      n,
      values.map(() => 1),
    ),
  );
  const information = ones.reduce((sum, w) => sum + w, 0);
  const mean = values.reduce((sum, s, i) => sum + s * ones[i], 0) / information;
  const left = forwardSubstitute(
    factor,
    n,
    values.map((s) => s - mean),
  );
  return {
    mean,
    variance: 1 / information,
    weights: Array.from(ones, (w) => w / information),
    chiSquare: left.reduce((sum, z) => sum + z * z, 0),
  };
}

function farthest(deviations: readonly number[]): number {
  const sizes = deviations.map(Math.abs);
  return sizes.indexOf(Math.max(...sizes));
}
