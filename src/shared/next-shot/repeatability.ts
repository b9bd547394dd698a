import { chiSquareQuantile } from "../numeric/chi-square-quantile.ts";
import { studentT } from "../numeric/student-t.ts";

/** Share of cases that an interval is to hold, unless another is asked for. */
export const COVERAGE = 0.95;

/**
 * One measured speed: what the measurement of this shot alone leaves open, and what it
 * shares with the other shots.
 */
export interface RepeatedSpeed {
  readonly value: number;
  /** Standard uncertainty that is independent from shot to shot: marks, release, picks of its own. */
  readonly ownU: number;
  /** Standard uncertainty common to all the shots: scale, clock, lens, plane. */
  readonly commonU: number;
  /**
   * Where shots of several outings stand together: what is shared, by what it is of. A part that only some of
   * them have does not move all of them together.
   */
  readonly shared?: readonly { readonly by: string; readonly u: number }[];
}

/** How repeatable n shots at the same setting were. Speeds in m/s; intervals are [low, high]. */
export interface Repeatability {
  readonly n: number;
  readonly mean: number;
  /** Standard deviation of one shot, n − 1 degrees of freedom; the measurement's own scatter is in it. */
  readonly s: number;
  /** s/√n: what more shots make smaller. */
  readonly meanU: number;
  /** Interval of the mean from scatter alone: mean ± t s/√n. */
  readonly meanInterval: readonly [number, number];
  /** The next measured speed lies within ± this of the mean: t s √(1 + 1/n). */
  readonly nextHalfWidth: number;
  /** Interval of the standard deviation: s √((n−1)/χ²). */
  readonly sigmaInterval: readonly [number, number];
  /** Standard uncertainty common to all n, which more shots do not make smaller. */
  readonly commonU: number;
  /** Root mean square of the shots' own uncertainties: what s would be if every throw were the same. */
  readonly measurementU: number;
  /** Share of s² that measuring explains, at most 1. */
  readonly measurementShare: number;
  /** √(s² − measurement²), 0 where the measurement explains all of it. */
  readonly launcherS: number;
}

/**
 * Mean, scatter and intervals of shots at the same setting. Sources: JCGM 100:2008, 4.2 (mean and standard
 * deviation) and G.3 (t); interval of one further observation and of the standard deviation as in ISO 16269-8
 * and NIST/SEMATECH e-Handbook, 1.3.5.8. Scale and clock move all the shots together: that part is given
 * apart and never divided by n. A part c that m of the n shots share, as those of one outing do, moves them
 * against the others: it adds c² m (1 − m/n)/(n − 1) to what measuring does to s² and leaves c² (m/n)² less
 * an n-th of that in the mean (the expectation of the sample variance of correlated values).
 * @returns null for fewer than two speeds, of which nothing can be said
 * @throws RangeError when coverage is not between 0 and 1, or a number is not finite or a u below 0
 */
export function repeatability(
  speeds: readonly RepeatedSpeed[],
  coverage: number = COVERAGE,
): Repeatability | null {
  if (!(coverage > 0 && coverage < 1)) {
    throw new RangeError(`repeatability: need a coverage between 0 and 1; got ${coverage}`);
  }
  for (const { value, ownU, commonU } of speeds) {
    if (![value, ownU, commonU].every(Number.isFinite) || ownU < 0 || commonU < 0) {
      throw new RangeError(`repeatability: need finite values, u >= 0; got ${value}, ${ownU}, ${commonU}`);
    }
  }
  const n = speeds.length;
  if (n < 2) return null;
  const mean = meanOf(speeds.map(({ value }) => value));
  const s = Math.sqrt(speeds.reduce((sum, { value }) => sum + (value - mean) ** 2, 0) / (n - 1));
  const meanU = s / Math.sqrt(n);
  const t = studentT(coverage, n - 1);
  const outside = (1 - coverage) / 2;
  const sigma = (tail: number) => s * Math.sqrt((n - 1) / chiSquareQuantile(tail, n - 1));
  const { between, together } = sharedParts(speeds);
  const measurementU = Math.sqrt(meanOf(speeds.map(({ ownU }) => ownU ** 2)) + between);
  return {
    n,
    mean,
    s,
    meanU,
    meanInterval: [mean - t * meanU, mean + t * meanU],
    nextHalfWidth: t * s * Math.sqrt(1 + 1 / n),
    sigmaInterval: [sigma(outside), sigma(1 - outside)],
    commonU: together,
    measurementU,
    measurementShare: s === 0 ? 1 : Math.min(1, (measurementU / s) ** 2),
    launcherS: Math.sqrt(Math.max(0, s ** 2 - measurementU ** 2)),
  };
}

/** (m/s)², what shared parts do to the scatter; m/s, what they leave in the mean. */
function sharedParts(speeds: readonly RepeatedSpeed[]): {
  readonly between: number;
  readonly together: number;
} {
  const n = speeds.length;
  if (speeds.some(({ shared }) => shared === undefined)) {
    return { between: 0, together: meanOf(speeds.map(({ commonU }) => commonU)) };
  }
  const parts = new Map<string, number[]>();
  for (const { by, u } of speeds.flatMap(({ shared = [] }) => shared)) {
    parts.set(by, [...(parts.get(by) ?? []), u]);
  }
  let [between, ofMean] = [0, 0];
  for (const us of parts.values()) {
    const [m, square] = [us.length, meanOf(us) ** 2];
    between += (square * m * (1 - m / n)) / (n - 1);
    ofMean += square * (m / n) ** 2;
  }
  return { between, together: Math.sqrt(Math.max(0, ofMean - between / n)) };
}

function meanOf(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}
