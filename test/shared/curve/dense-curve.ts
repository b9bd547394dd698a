import type { CurveModel, CurveRecord } from "../../../src/shared/curve/curve-model.ts";
import { LOWEST_JUMP } from "../../../src/shared/curve/curve-model.ts";
import { backSubstitute, choleskyInPlace, forwardSubstitute } from "../../../src/shared/numeric/cholesky.ts";

/*
 * The same model as the filter's, by brute force: every value's covariance written out, generalised least
 * squares with the three unknowns of the start. Cost n³; the product does not use it.
 */
export interface DenseCurve {
  /** -2 log restricted likelihood over known errors, less (n - 3) log 2π. */
  readonly score: number;
  /** Of value, rate and acceleration at each sample, over the errors' variance. */
  readonly means: readonly (readonly number[])[];
  readonly variances: readonly (readonly number[])[];
}

export function denseCurve(record: CurveRecord, model: CurveModel): DenseCurve {
  const { times, values, sizes } = record;
  const n = times.length;
  const first = times[0]!;
  // Independent causes: the wandering between any two events, and each jump.
  const events = [...times, ...model.changes.map(({ time }) => time)].sort((a, b) => a - b);
  const groupAt = (t: number) => model.changes.findLast(({ time }) => time < t)?.group ?? 0;
  const covariance = (s: number, i: number, t: number, j: number): number => {
    let sum = 0;
    events.slice(1).forEach((end, k) => {
      const from = events[k]!;
      if (!(end > from) || from >= Math.min(s, t)) return;
      const q = Math.exp(model.logSmoothness[groupAt((from + end) / 2 + 1e-12)]!);
      sum += q * wandered(from, Math.min(end, s), s, i, Math.min(end, t), t, j);
    });
    for (const { time, kind } of model.changes) {
      if (time > Math.min(s, t)) continue;
      for (const d of [0, 1, 2] as const) {
        if (d >= LOWEST_JUMP[kind]) sum += model.jumps[d] * power(s - time, d - i) * power(t - time, d - j);
      }
    }
    return sum;
  };
  const index = Array.from({ length: n }, (_, i) => i);
  const noise = (a: number, b: number) =>
    a === b
      ? sizes[a]! ** 2
      : sizes[a]! * sizes[b]! * (model.lag === 0 ? 0 : model.lag ** Math.abs(times[a]! - times[b]!));
  const v = Float64Array.from(
    index.flatMap((a) => index.map((b) => covariance(times[a]!, 0, times[b]!, 0) + noise(a, b))),
  );
  let logDet = choleskyInPlace(v, n)!;
  const solve = (b: ArrayLike<number>) => backSubstitute(v, n, forwardSubstitute(v, n, b));
  const design = [0, 1, 2].map((d) => index.map((a) => power(times[a]! - first, d)));
  const solved = design.map(solve);
  const s = Float64Array.from([0, 1, 2].flatMap((i) => [0, 1, 2].map((j) => dot(design[i]!, solved[j]!))));
  logDet += choleskyInPlace(s, 3)!;
  const solve3 = (b: ArrayLike<number>) => backSubstitute(s, 3, forwardSubstitute(s, 3, b));
  const beta = solve3(solved.map((one) => dot(one, values)));
  const rest = index.map(
    (a) => values[a]! - [0, 1, 2].reduce((sum, d) => sum + beta[d]! * design[d]![a]!, 0),
  );
  const weighted = solve(rest);
  const means: number[][] = [];
  const variances: number[][] = [];
  for (const a of index) {
    const t = times[a]!;
    const found = [0, 1, 2].map((i) => {
      const c = index.map((b) => covariance(t, i, times[b]!, 0));
      const own = [0, 1, 2].map((d) => power(t - first, d - i));
      const seen = solve(c);
      const left = own.map((one, d) => one - dot(seen, design[d]!));
      return {
        mean: dot(own, beta) + dot(c, weighted),
        variance: covariance(t, i, t, i) - dot(c, seen) + dot(left, solve3(left)),
      };
    });
    means.push(found.map(({ mean }) => mean));
    variances.push(found.map(({ variance }) => variance));
  }
  return { score: logDet + dot(rest, weighted), means, variances };
}

/** x^k / k!, 0 for k < 0. */
function power(x: number, k: number): number {
  return k < 0 ? 0 : k === 0 ? 1 : k === 1 ? x : (x * x) / 2;
}

/**
 * Integral over u from `from` to the lesser end of (s-u)^(2-i)/(2-i)! (t-u)^(2-j)/(2-j)!, by Gauss of three.
 */
function wandered(
  from: number,
  endS: number,
  s: number,
  i: number,
  endT: number,
  t: number,
  j: number,
): number {
  const end = Math.min(endS, endT);
  if (!(end > from)) return 0;
  const [middle, half] = [(from + end) / 2, (end - from) / 2];
  return [-Math.sqrt(0.6), 0, Math.sqrt(0.6)].reduce((sum, x, k) => {
    const u = middle + half * x;
    return sum + ((half * [5, 8, 5][k]!) / 9) * power(s - u, 2 - i) * power(t - u, 2 - j);
  }, 0);
}

function dot(a: ArrayLike<number>, b: ArrayLike<number>): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!;
  return sum;
}
