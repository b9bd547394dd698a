import type { PlaneResidual } from "./mark-residuals.ts";

/**
 * How the errors of marks are distributed, as far as it is not white: relative to what the marks state, apart
 * from an overall factor that the fit finds for itself.
 */
export interface MarkNoise {
  /** Variance along the launch direction and across it, over their mean. */
  readonly along: number;
  readonly across: number;
  /** Correlation of a mark's error with that of the same point one frame before; 0 or more. */
  readonly lag: number;
  /**
   * m², what all marks of a frame have in common, along and across: a camera that moves. As independent from
   * frame to frame; what lasts counts the more.
   */
  readonly common: readonly [along: number, across: number];
  /** Correlation of it with that of the frame before. */
  readonly commonLag: readonly [along: number, across: number];
  /**
   * 1, how much of the variance that a frame's mean is so given shows in the residuals of a fit: what lasts
   * is followed by the fit, or is less in each frame than it counts in all of them together.
   */
  readonly shown: readonly [along: number, across: number];
}

export const WHITE_NOISE: MarkNoise = {
  along: 1,
  across: 1,
  lag: 0,
  common: [0, 0],
  commonLag: [0, 0],
  shown: [1, 1],
};

/** By how much errors that last enlarge the variance of anything smooth: the spectrum of an AR(1) at 0. */
export function lasting(lag: number): number {
  return (1 + lag) / (1 - lag);
}

const CLEAR = 2.5; // standard deviations beyond which a departure from white noise is taken for one
const LEAST_PAIRS = 20; // of frames that follow each other; of fewer nothing is said
const MOST_LAG = 0.95;
// How long a camera's movement goes on that lasts longer, residuals of a fit that follows it do not tell.
const MOST_COMMON_LAG = 0.9;
// Of what frames can show: where a fit has followed more, what is left does not tell how long it lasts.
const MOST_FOLLOWED = 0.3;
// Of a movement, what a fit has not followed: beyond ten times of what shows nothing is guessed.
const LEAST_SEEN = 0.1;
const HALVINGS = 20; // of the interval that a coefficient is looked for in
const LEAST_OWN = 0.01; // of the variance of the frames' means

/**
 * The noise that residuals of a fit show. What the marks of a frame have in common is told from what each has
 * of its own by their mean and their differences; what lasts, by the correlation with the frame before. A fit
 * follows some of what its frames have in common: variance and correlation of the means are mended for that.
 * @param residuals of the marks in the fit; @param freedom coefficients that the fit has used up along and
 *   across, of so many frames
 */
export function markNoise(
  residuals: readonly PlaneResidual[],
  directionRad: number,
  freedom: readonly [along: number, across: number],
): MarkNoise {
  const frames = framesOf(residuals, directionRad);
  const own = ([0, 1] as const).map((axis) => ownErrors(frames, axis));
  const pooled = { squares: 0, count: 0, products: 0, pairs: 0 };
  for (const one of own) {
    pooled.squares += one.squares;
    pooled.count += one.count;
    pooled.products += one.products;
    pooled.pairs += one.pairs;
  }
  const variance = pooled.squares / pooled.count;
  // Marks that share all of their errors, to the last digit, tell nothing of what each has of its own.
  const shared = Math.max(...([0, 1] as const).map((axis) => meanErrors(frames, axis).square));
  if (!(variance > LEAST_OWN * shared) || pooled.pairs < LEAST_PAIRS) {
    return alone(frames, (freedom[0] + freedom[1]) / 2);
  }
  const correlation = pooled.products / pooled.pairs / variance;
  const lag = clear(correlation, 1 / Math.sqrt(pooled.pairs)) ? Math.min(correlation, MOST_LAG) : 0;
  const [s, n] = own.map(({ squares, count }) => squares / count) as [number, number];
  // The lasting errors count as fewer: so does the ratio of their sizes.
  const spread = Math.sqrt((4 * lasting(lag)) / pooled.count);
  const apart = s > 0 && n > 0 && Math.abs(Math.log(s / n)) > CLEAR * 2 * spread;
  const mean = (s + n) / 2;
  const [ofS, ofN] = ([0, 1] as const).map((axis) =>
    commonErrors(frames, axis, apart ? ([s, n][axis] as number) : mean, lag, freedom[axis]),
  ) as [CommonErrors, CommonErrors];
  return {
    along: apart ? s / mean : 1,
    across: apart ? n / mean : 1,
    lag,
    common: [ofS.variance / variance, ofN.variance / variance],
    commonLag: [ofS.lag, ofN.lag],
    shown: [ofS.shown, ofN.shown],
  };
}

interface FrameErrors {
  readonly frame: number;
  /** Sum of 1/u², 1/m². */
  readonly weight: number;
  /** m, weighted mean along and across. */
  readonly mean: readonly [number, number];
  /** Of each point, what is left over its own u: variance 1 where the stated u is true. */
  readonly own: ReadonlyMap<number, readonly [number, number]>;
}

function framesOf(residuals: readonly PlaneResidual[], directionRad: number): readonly FrameErrors[] {
  const [cos, sin] = [Math.cos(directionRad), Math.sin(directionRad)];
  const grouped = new Map<number, PlaneResidual[]>();
  for (const residual of residuals) {
    const list = grouped.get(residual.mark.frame);
    if (list) list.push(residual);
    else grouped.set(residual.mark.frame, [residual]);
  }
  return [...grouped.entries()]
    .sort(([a], [b]) => a - b)
    .map(([frame, marks]) => {
      let [weight, s, n] = [0, 0, 0];
      const placed = marks.map(({ mark, dx, dy }) => {
        const one = {
          point: mark.point,
          w: 1 / (mark.u * mark.u),
          s: cos * dx + sin * dy,
          n: cos * dy - sin * dx,
        };
        weight += one.w;
        s += one.w * one.s;
        n += one.w * one.n;
        return one;
      });
      const mean = [s / weight, n / weight] as const;
      const own = new Map<number, readonly [number, number]>();
      if (placed.length > 1) {
        for (const one of placed) {
          const size = Math.sqrt(one.w / (1 - one.w / weight));
          own.set(one.point, [size * (one.s - mean[0]), size * (one.n - mean[1])]);
        }
      }
      return { frame, weight, mean, own };
    });
}

function ownErrors(frames: readonly FrameErrors[], axis: 0 | 1) {
  let [squares, count, products, pairs] = [0, 0, 0, 0];
  frames.forEach((now, i) => {
    // Of n marks that share their mean, n - 1 are free.
    const free = now.own.size > 1 ? 1 - 1 / now.own.size : 0;
    for (const [point, error] of now.own) {
      squares += free * error[axis] ** 2;
      count += free;
      const before = frames[i - 1];
      const last = before?.frame === now.frame - 1 ? before.own.get(point) : undefined;
      if (last === undefined) continue;
      products += free * last[axis] * error[axis];
      pairs += free;
    }
  });
  return { squares, count, products, pairs };
}

interface CommonErrors {
  /** m² times the noise's own variance. */
  readonly variance: number;
  /** See MarkNoise. */
  readonly lag: number;
  readonly shown: number;
}
const NONE_COMMON: CommonErrors = { variance: 0, lag: 0, shown: 1 };

/**
 * What the frames' means show beyond the marks' own errors, and how long that lasts. A fit with k
 * coefficients for n frames follows about what is slower than k/n of the fastest that frames can show, and a
 * movement that lasts is slow for the most part: taken as it shows in the residuals it came out at a fifth of
 * its variance. So it is taken for an AR(1) of which only what is faster is left.
 */
function commonErrors(
  frames: readonly FrameErrors[],
  axis: 0 | 1,
  variance: number,
  lag: number,
  freedom: number,
): CommonErrors {
  const { square, product, count, pairs, weight } = meanErrors(frames, axis);
  const followed = Math.min(0.7, freedom / count);
  const spread = Math.sqrt((4 * lasting(lag)) / (count * (1 - followed))) * variance;
  if (!clear(square / (1 - followed) - variance, spread)) return NONE_COMMON;
  const excess = square - variance * (1 - followed);
  const together = product + (variance * Math.sin(Math.PI * followed)) / Math.PI - lag * variance;
  const lasts = pairs >= LEAST_PAIRS && followed < MOST_FOLLOWED && together > 0;
  const common = lasts ? lastingFrom(together / excess, followed) : 0;
  const whole = (excess / Math.max(LEAST_SEEN, leftOf(common, followed))) * lasting(common);
  return {
    variance: whole / weight,
    lag: common,
    shown: Math.min(1, square / ((1 - followed) * (variance + whole / lasting(lag)))),
  };
}

/** Share of an AR(1)'s variance that is faster than a share of the fastest: its spectrum, integrated. */
function leftOf(phi: number, followed: number): number {
  return 1 - (2 / Math.PI) * Math.atan(lasting(phi) * Math.tan((Math.PI / 2) * followed));
}

/** Correlation with the frame before of what is left of an AR(1): its spectrum times a cosine, integrated. */
function correlationLeft(phi: number, followed: number): number {
  const white = ((1 - phi * phi) * (1 - followed)) / leftOf(phi, followed);
  return (1 + phi * phi - white) / (2 * phi);
}

/** The AR(1) coefficient of which so much correlation is left; MOST_COMMON_LAG at most. */
function lastingFrom(correlation: number, followed: number): number {
  let [low, high] = [1e-3, MOST_COMMON_LAG];
  for (let i = 0; i < HALVINGS; i++) {
    const middle = (low + high) / 2;
    if (correlationLeft(middle, followed) < correlation) low = middle;
    else high = middle;
  }
  return low;
}

function meanErrors(frames: readonly FrameErrors[], axis: 0 | 1) {
  let [square, product, count, pairs, weight] = [0, 0, 0, 0, 0];
  frames.forEach((now, i) => {
    square += now.weight * now.mean[axis] ** 2;
    weight += now.weight;
    count++;
    const before = frames[i - 1];
    if (before?.frame !== now.frame - 1) return;
    product += Math.sqrt(now.weight * before.weight) * now.mean[axis] * before.mean[axis];
    pairs++;
  });
  return {
    square: square / count,
    product: product / Math.max(1, pairs),
    count,
    pairs,
    weight: weight / count,
  };
}

/** Where no two marks of a frame tell common errors from own ones: only how long they last. */
function alone(frames: readonly FrameErrors[], freedom: number): MarkNoise {
  const [s, n] = ([0, 1] as const).map((axis) => meanErrors(frames, axis)) as [
    ReturnType<typeof meanErrors>,
    ReturnType<typeof meanErrors>,
  ];
  if (s.pairs < LEAST_PAIRS) return WHITE_NOISE;
  const correlation = (s.product + n.product) / (s.square + n.square) + freedom / s.count;
  const lag = clear(correlation, 1 / Math.sqrt(2 * s.pairs)) ? Math.min(correlation, MOST_LAG) : 0;
  return { ...WHITE_NOISE, lag };
}

function clear(value: number, sd: number): boolean {
  return value > CLEAR * sd;
}

/** Whether a fit with the one noise would come out otherwise with the other. */
export function differs(a: MarkNoise, b: MarkNoise): boolean {
  const ratios = [
    [a.along, b.along],
    [a.across, b.across],
    [lasting(a.lag), lasting(b.lag)],
  ] as const;
  const apart = ratios.some(([x, y]) => Math.abs(Math.log(x / y)) > 0.1);
  return apart || ([0, 1] as const).some((i) => Math.abs(a.common[i] - b.common[i]) > 0.1 * b.common[i]);
}
