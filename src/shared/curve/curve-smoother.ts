import { spend } from "../numeric/work-budget.ts";
import {
  COVARIANCE,
  errorMemory,
  type Filtered,
  KEPT,
  SURPRISE,
  SURPRISE_SIZE,
  wanderingForm,
} from "./curve-filter.ts";
import type { CurveRecord } from "./curve-model.ts";
import type { CurveSteps } from "./curve-steps.ts";
import type { SettledStart } from "./flat-start.ts";

/** The curve given all samples; variances over the errors' variance. */
export interface Smoothed {
  /** [3 * count]: value, rate and acceleration at each step, after what jumps there. */
  readonly means: Float64Array;
  readonly variances: Float64Array;
  /**
   * [3 * count], [6 * count]: r and N at each step, by which a jump of prior variance V there has the mean
   * V r and the variance V - V N V (de Jong & Penzer, J. Am. Stat. Assoc. 93:796, 1998, from memory).
   */
  readonly pulls: Float64Array;
  readonly pullSizes: Float64Array;
  /**
   * [count]: r'Qr and tr QN, Q the covariance of the acceleration's wandering on the interval before a step.
   */
  readonly wandering: Float64Array;
  readonly wanderingSizes: Float64Array;
}

/**
 * Fixed-interval smoother by the backward recursion of r and N. Cost: in proportion to the steps. The steps
 * before the one that settled the flat start stay 0; next to them the variances lose digits where the curve
 * is stiff, which is why a curve is smoothed from both ends (smooth-both-ways.ts).
 */
export function smoothCurve(
  record: CurveRecord,
  steps: CurveSteps,
  lag: number,
  filtered: Filtered,
): Smoothed {
  const { count, intervals, densities, samples } = steps;
  const { kept, start } = filtered;
  if (start === null) throw new RangeError("smoothCurve: the filter did not settle");
  spend(count);
  const smoothed: Smoothed = {
    means: new Float64Array(3 * count),
    variances: new Float64Array(3 * count),
    pulls: new Float64Array(3 * count),
    pullSizes: new Float64Array(6 * count),
    wandering: new Float64Array(count),
    wanderingSizes: new Float64Array(count),
  };
  const { means, variances, pulls, pullSizes, wandering, wanderingSizes } = smoothed;
  const earlySteps = start.steps;
  let [memory, lastInterval] = [0, -1];
  let [r0, r1, r2, re] = [0, 0, 0, 0];
  let [n00, n01, n02, n11, n12, n22, n0e, n1e, n2e, nee] = [0, 0, 0, 0, 0, 0, 0, 0, 0, 0];
  for (let step = count - 1; step >= earlySteps; step--) {
    const at = KEPT * step;
    const p = at + COVARIANCE;
    const p00 = kept[p + 0];
    const p01 = kept[p + 1];
    const p02 = kept[p + 2];
    const p11 = kept[p + 3];
    const p12 = kept[p + 4];
    const p22 = kept[p + 5];
    const c0 = kept[p + 6];
    const c1 = kept[p + 7];
    const c2 = kept[p + 8];
    const pe = kept[p + 9];
    const size = kept[at + SURPRISE_SIZE];
    if (size > 0) {
      const s = record.sizes[samples[step]];
      const k0 = (p00 + s * c0) / size;
      const k1 = (p01 + s * c1) / size;
      const k2 = (p02 + s * c2) / size;
      const ke = (c0 + s * pe) / size;
      const w = kept[at + SURPRISE] / size - (k0 * r0 + k1 * r1 + k2 * r2 + ke * re);
      r0 += w;
      re += s * w;
      const u0 = n00 * k0 + n01 * k1 + n02 * k2 + n0e * ke;
      const u1 = n01 * k0 + n11 * k1 + n12 * k2 + n1e * ke;
      const u2 = n02 * k0 + n12 * k1 + n22 * k2 + n2e * ke;
      const ue = n0e * k0 + n1e * k1 + n2e * k2 + nee * ke;
      const both = k0 * u0 + k1 * u1 + k2 * u2 + ke * ue + 1 / size;
      n00 += both - 2 * u0;
      n01 -= u1;
      n02 -= u2;
      n0e += s * both - ue - s * u0;
      n1e -= s * u1;
      n2e -= s * u2;
      nee += s * s * both - 2 * s * ue;
    }
    const x = 3 * step;
    means[x] = kept[at] + p00 * r0 + p01 * r1 + p02 * r2 + c0 * re;
    means[x + 1] = kept[at + 1] + p01 * r0 + p11 * r1 + p12 * r2 + c1 * re;
    means[x + 2] = kept[at + 2] + p02 * r0 + p12 * r1 + p22 * r2 + c2 * re;
    const form = (a0: number, a1: number, a2: number, ae: number) =>
      a0 * (n00 * a0 + 2 * (n01 * a1 + n02 * a2 + n0e * ae)) +
      a1 * (n11 * a1 + 2 * (n12 * a2 + n1e * ae)) +
      a2 * (n22 * a2 + 2 * n2e * ae) +
      nee * ae * ae;
    variances[x] = Math.max(0, p00 - form(p00, p01, p02, c0));
    variances[x + 1] = Math.max(0, p11 - form(p01, p11, p12, c1));
    variances[x + 2] = Math.max(0, p22 - form(p02, p12, p22, c2));
    pulls[x] = r0;
    pulls[x + 1] = r1;
    pulls[x + 2] = r2;
    const y = 6 * step;
    pullSizes[y] = n00;
    pullSizes[y + 1] = n01;
    pullSizes[y + 2] = n02;
    pullSizes[y + 3] = n11;
    pullSizes[y + 4] = n12;
    pullSizes[y + 5] = n22;
    const h = intervals[step];
    const q = densities[step];
    wandering[step] = q * wanderingForm(h, r0 * r0, r0 * r1, r0 * r2, r1 * r1, r1 * r2, r2 * r2);
    wanderingSizes[step] = q * wanderingForm(h, n00, n01, n02, n11, n12, n22);
    const half = (h * h) / 2;
    if (h !== lastInterval) {
      memory = errorMemory(lag, h);
      lastInterval = h;
    }
    r2 += h * r1 + half * r0;
    r1 += h * r0;
    re *= memory;
    const o00 = n00;
    const o01 = n01;
    const o02 = n02;
    const o11 = n11;
    const o12 = n12;
    n01 = o01 + h * o00;
    n02 = o02 + h * o01 + half * o00;
    n11 = o11 + 2 * h * o01 + h * h * o00;
    n12 = o12 + h * (o02 + o11) + 1.5 * h * h * o01 + h * half * o00;
    n22 += 2 * h * o12 + h * h * (o02 + o11) + h * h * h * o01 + half * half * o00;
    n2e = memory * (n2e + h * n1e + half * n0e);
    n1e = memory * (n1e + h * n0e);
    n0e *= memory;
    nee *= memory * memory;
  }
  settledStep(start, [r0, r1, r2, re], [n00, n01, n02, n11, n12, n22, n0e, n1e, n2e, nee], smoothed);
  return smoothed;
}

/** The step whose sample settled the start, by its state after that sample. */
function settledStep(
  { steps, state }: SettledStart,
  r: readonly number[],
  n: readonly number[],
  { means, variances }: Smoothed,
): void {
  const p = (i: number, j: number) => state[4 + PLACE[i][j]];
  const at = 3 * (steps - 1);
  for (let i = 0; i < 3; i++) {
    let [mean, variance] = [state[i], p(i, i)];
    for (let j = 0; j < 4; j++) {
      mean += p(i, j) * r[j];
      for (let k = 0; k < 4; k++) variance -= p(i, j) * n[PLACE[j][k]] * p(k, i);
    }
    means[at + i] = mean;
    variances[at + i] = Math.max(0, variance);
  }
}

/** Where a pair of states stands in 00 01 02 11 12 22 0e 1e 2e ee. */
const PLACE = [
  [0, 1, 2, 6],
  [1, 3, 4, 7],
  [2, 4, 5, 8],
  [6, 7, 8, 9],
] as const;
