import { type Bands, bandsOfInverse, factorBands, solveBands } from "./smoothing-spline-bands.ts";

/** A natural cubic smoothing spline, and how it was chosen. */
export interface SmoothingSpline {
  /** λ, in units of y²/u² times x³. */
  readonly lambda: number;
  /** n RSS/(n - tr H)², RSS = Σ ((y - f)/u)². */
  readonly gcv: number;
  /** tr H, the effective number of parameters: 2 for a straight line, n for an interpolation. */
  readonly freedom: number;
  /** √(RSS/(n - tr H)): the noise over the stated u (over 1 where no u was given). */
  readonly sigma: number;
  /**
   * Where the search for λ ended: within its range, or at the end where the spline
   * interpolates or is a straight line.
   */
  readonly end: "given" | "within" | "interpolates" | "straight";
  /** [n], f at the data. */
  readonly fitted: readonly number[];
  /** [n], diagonal of H: how much of each value is its own datum. */
  readonly leverage: readonly number[];
  /** [n], standard error of `fitted`, σ̂ u_i √H_ii. */
  readonly standardError: readonly number[];
  /** f (0), f' (1) or f'' (2) at any x; a straight line beyond the data. */
  at(x: number, derivative?: 0 | 1 | 2): number;
}

const STIFFEST = 1; // times n⁴: a beam of n unit gaps then bends by less than 1/500 of what it would free
const SOFTEST = 1e-10; // in unit gaps: far below the stiffness of gaps a thousandth of the mean
const PER_DECADE = 4; // steps of the search before it closes in
const CLOSE = 1e-9; // of ln λ; the minimum is flat to the square root of rounding

/**
 * The function f that makes Σ ((y_i - f(x_i))/u_i)² + λ ∫ f''² least, by Reinsch's band equations in O(n); λ
 * as given, or where generalised cross-validation n RSS/(n - tr H)² is least. x is taken in units of its mean
 * gap and u in units of its mean weight, so that the search over ln λ does not depend on units. Being
 * natural, f'' = 0 at both ends: no use at an edge such as a release.
 * Sources: Reinsch, Numer. Math. 10:177 (1967); Craven & Wahba, Numer. Math. 31:377 (1979);
 * trace in O(n): Hutchinson & de Hoog, Numer. Math. 47:99 (1985); standard error: Wahba, J. R.
 * Statist. Soc. B 45:133 (1983).
 * @param x [n], strictly increasing, n >= 4  @param y [n]
 * @param options.u [n], > 0, standard uncertainties (all 1 when left out)
 * @param options.lambda > 0, in the units of x
 * @throws RangeError on sizes or values that do not fit
 */
export function smoothingSpline(
  x: readonly number[],
  y: readonly number[],
  options: { readonly u?: readonly number[]; readonly lambda?: number } = {},
): SmoothingSpline {
  const { lambda: given } = options;
  const u = options.u ?? x.map(() => 1);
  checkInput(x, y, u, given);
  const n = x.length;
  const gap = (x[n - 1]! - x[0]!) / (n - 1);
  const weight = u.reduce((sum, one) => sum + 1 / (one * one), 0) / n;
  const system = equations(
    x.map((one) => (one - x[0]!) / gap),
    y,
    u.map((one) => one * Math.sqrt(weight)),
  );
  const unit = weight * gap ** 3; // λ is this times the λ of unit gaps and weights
  const found = given === undefined ? leastGcv(system) : { lambda: given / unit, end: "given" as const };
  const fit = solve(system, found.lambda);
  const rss = fit.rss * weight;
  const sigma = Math.sqrt(rss / fit.left);
  return {
    lambda: found.lambda * unit,
    gcv: (n * rss) / fit.left ** 2,
    freedom: n - fit.left,
    sigma,
    end: found.end,
    fitted: fit.f,
    leverage: fit.leverage,
    standardError: fit.leverage.map((h, i) => sigma * u[i]! * Math.sqrt(h)),
    at: (at, derivative = 0) => piece(system.x, fit, (at - x[0]!) / gap, derivative) / gap ** derivative,
  };
}

interface System {
  readonly x: readonly number[];
  readonly y: readonly number[];
  /** [n], u² about 1. */
  readonly variance: readonly number[];
  /** [n - 1], gaps. */
  readonly h: readonly number[];
  readonly R: Bands;
  /** Qᵀ W⁻¹ Q. */
  readonly G: Bands;
  /** [n - 2], Qᵀ y. */
  readonly bend: readonly number[];
}

/**
 * Q has the columns 1/h_j, -1/h_j - 1/h_{j+1}, 1/h_{j+1} in rows j to j + 2; R the rows h_j/6, (h_j
 * + h_{j+1})/3, h_{j+1}/6.
 */
function equations(x: readonly number[], y: readonly number[], u: readonly number[]): System {
  const h = x.slice(1).map((one, i) => one - x[i]!);
  const variance = u.map((one) => one * one);
  const m = x.length - 2;
  const column = (j: number) => columnOf(h, j);
  const G = [0, 1, 2].map((k) =>
    Array.from({ length: Math.max(0, m - k) }, (_, j) => {
      const [one, other] = [column(j), column(j + k)];
      let sum = 0;
      for (let row = k; row < 3; row++) sum += one[row]! * variance[j + row]! * other[row - k]!;
      return sum;
    }),
  ) as unknown as Bands;
  const R: Bands = [
    Array.from({ length: m }, (_, j) => (h[j]! + h[j + 1]!) / 3),
    Array.from({ length: m - 1 }, (_, j) => h[j + 1]! / 6),
    new Array<number>(Math.max(0, m - 2)).fill(0),
  ];
  const bend = Array.from({ length: m }, (_, j) =>
    column(j).reduce((sum, q, row) => sum + q * y[j + row]!, 0),
  );
  return { x, y, variance, h, R, G, bend };
}

function columnOf(h: readonly number[], j: number): readonly [number, number, number] {
  return [1 / h[j]!, -1 / h[j]! - 1 / h[j + 1]!, 1 / h[j + 1]!];
}

interface Solved {
  readonly f: readonly number[];
  /** [n], f'' at the data, 0 at both ends. */
  readonly second: readonly number[];
  readonly rss: number;
  /** n - tr H. */
  readonly left: number;
  readonly leverage: readonly number[];
  readonly h: readonly number[];
}

/**
 * (R + λ QᵀW⁻¹Q) γ = Qᵀy, f = y - λ W⁻¹Q γ; I - H = λ W⁻¹ Q (R + λ QᵀW⁻¹Q)⁻¹ Qᵀ needs the five middle
 * bands of the inverse only.
 */
function solve({ y, variance, h, R, G, bend }: System, lambda: number): Solved {
  const n = y.length;
  const factors = factorBands(
    R.map((band, k) => band.map((r, j) => r + lambda * G[k]![j]!)) as unknown as Bands,
  );
  const gamma = solveBands(factors, bend);
  const inverse = bandsOfInverse(factors);
  const pull = new Float64Array(n); // Q γ
  const loss = new Float64Array(n); // diagonal of Q (..)⁻¹ Qᵀ
  for (let j = 0; j < n - 2; j++) {
    const q = columnOf(h, j);
    for (let row = 0; row < 3; row++) {
      pull[j + row]! += q[row]! * gamma[j]!;
      loss[j + row]! += q[row]! ** 2 * inverse[0][j]!;
      for (let k = 1; k <= 2 && row - k >= 0 && j + k < n - 2; k++) {
        loss[j + row]! += 2 * q[row]! * columnOf(h, j + k)[row - k]! * inverse[k]![j]!;
      }
    }
  }
  let [rss, left] = [0, 0];
  const f = y.map((one, i) => {
    const residual = lambda * variance[i]! * pull[i]!;
    rss += residual ** 2 / variance[i]!;
    left += lambda * variance[i]! * loss[i]!;
    return one - residual;
  });
  const leverage = f.map((_, i) => Math.max(0, 1 - lambda * variance[i]! * loss[i]!));
  return { f, second: [0, ...gamma, 0], rss, left, leverage, h };
}

/** Tries λ on a grid over all that makes a difference, then closes in on the best by golden section. */
function leastGcv(system: System): {
  readonly lambda: number;
  readonly end: "within" | "interpolates" | "straight";
} {
  const n = system.x.length;
  const score = (log: number) => {
    const { rss, left } = solve(system, Math.exp(log));
    return rss / left ** 2;
  };
  const [low, high] = [Math.log(SOFTEST), Math.log(STIFFEST * n ** 4)];
  const steps = Math.ceil(((high - low) / Math.LN10) * PER_DECADE);
  const at = (i: number) => low + ((high - low) * i) / steps;
  let best = 0;
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i <= steps; i++) {
    const value = score(at(i));
    if (value < least) [best, least] = [i, value];
  }
  if (best === 0) return { lambda: Math.exp(low), end: "interpolates" };
  if (best === steps) return { lambda: Math.exp(high), end: "straight" };
  return { lambda: Math.exp(goldenSection(score, at(best - 1), at(best + 1))), end: "within" };
}

/** The place of the least value between a and b. */
function goldenSection(f: (x: number) => number, a: number, b: number): number {
  const ratio = (Math.sqrt(5) - 1) / 2;
  let [c, d] = [b - ratio * (b - a), a + ratio * (b - a)];
  let [fc, fd] = [f(c), f(d)];
  let [low, high] = [a, b];
  while (high - low > CLOSE) {
    if (fc < fd) {
      [high, d, fd] = [d, c, fc];
      c = high - ratio * (high - low);
      fc = f(c);
    } else {
      [low, c, fc] = [c, d, fd];
      d = low + ratio * (high - low);
      fd = f(d);
    }
  }
  return (low + high) / 2;
}

/** The cubic between two data by its values and second derivatives. */
function piece(x: readonly number[], { f, second, h }: Solved, at: number, derivative: 0 | 1 | 2): number {
  const last = x.length - 2;
  let [i, end] = [0, last];
  while (end > i) {
    const middle = (i + end + 1) >> 1;
    if (x[middle]! <= at) i = middle;
    else end = middle - 1;
  }
  const gap = h[i]!;
  const slope = (s: number) => {
    const t = 1 - s;
    const [a, b] = [second[i]!, second[i + 1]!];
    return (f[i + 1]! - f[i]!) / gap + (gap / 6) * ((3 * s * s - 1) * b - (3 * t * t - 1) * a);
  };
  if (at < x[0]! || at > x[last + 1]!) {
    if (derivative === 2) return 0;
    const [edge, s] = at < x[0]! ? [0, 0] : [last + 1, 1];
    return derivative === 1 ? slope(s) : f[edge]! + slope(s) * (at - x[edge]!);
  }
  const s = (at - x[i]!) / gap;
  const t = 1 - s;
  if (derivative === 2) return t * second[i]! + s * second[i + 1]!;
  if (derivative === 1) return slope(s);
  const bulge = ((gap * gap) / 6) * ((t ** 3 - t) * second[i]! + (s ** 3 - s) * second[i + 1]!);
  return t * f[i]! + s * f[i + 1]! + bulge;
}

function checkInput(x: readonly number[], y: readonly number[], u: readonly number[], lambda?: number): void {
  const n = x.length;
  if (n < 4 || y.length !== n || u.length !== n) {
    throw new RangeError(
      `smoothingSpline: need x, y and u of one length >= 4; got ${n}, ${y.length}, ${u.length}`,
    );
  }
  x.forEach((one, i) => {
    const rises = i === 0 || one > x[i - 1]!;
    if (!(rises && Number.isFinite(one) && Number.isFinite(y[i]) && u[i]! > 0 && Number.isFinite(u[i]))) {
      throw new RangeError(
        `smoothingSpline: x must increase, y be finite and u > 0; at ${i} got ${one}, ${y[i]}, ${u[i]}`,
      );
    }
  });
  if (lambda !== undefined && !(lambda > 0 && Number.isFinite(lambda))) {
    throw new RangeError(`smoothingSpline: need a finite lambda > 0; got ${lambda}`);
  }
}
