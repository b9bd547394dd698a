import { backSubstitute, choleskyInPlace, forwardSubstitute } from "../numeric/cholesky.ts";
import { type CubicSpline, isInside, valueAt } from "../numeric/cubic-spline.ts";
import { ok, type Result, refuse } from "../quantity/result.ts";
import type { Template } from "./template.ts";

/**
 * Where a template lies in a picture: its middle, in samples, and how far it has turned, rad,
 * from x right towards y down.
 */
export interface Warp {
  readonly x: number;
  readonly y: number;
  readonly theta: number;
}

export interface Match extends Warp {
  /** The picture is gain times the template plus bias (grey levels). */
  readonly gain: number;
  readonly bias: number;
  readonly iterations: number;
  /** Grey levels, root mean square of what is left, weighted as the match was. */
  readonly residual: number;
  /** Correlation of template and picture over all samples: 1 when they differ by gain and bias alone. */
  readonly likeness: number;
  /** Weight of each sample, 0 to 1; [n]. All 1 unless asked for. */
  readonly weights: Float64Array;
  /** Grey levels left at each sample; [n]. */
  readonly left: Float64Array;
  /** (Aᵀ W A)⁻¹ of x, y, theta, gain, bias in the template's own axes and grey levels; [25], row by row.
   * Nothing for theta where it was held. */
  readonly inverse: Float64Array;
}

export interface MatchOptions {
  readonly iterations?: number;
  /** px, and rad: the step below which it has arrived. */
  readonly tolerance?: number;
  /** Whether it may turn; a round thing does not tell how far it has. True unless said. */
  readonly turns?: boolean;
  /** Counts samples that fit badly for less: what passes in front or behind is not on the body. */
  readonly robust?: boolean;
}

/**
 * no-detail: the template does not fix where it lies. outside: part of it came to lie outside the spline.
 * lost: it did not settle.
 */
export type MatchRefusal = "no-detail" | "outside" | "lost";

const TERMS = 5;
const THETA = 2; // its place among the terms
const TUKEY = 4.685; // 95 % efficient for normal errors: Holland & Welsch, Commun. Stat. A 6:813 (1977)
const PER_MAD = 1.4826; // sd of a normal over its median absolute deviation
const PLAIN_ROUNDS = 3; // before badly fitting samples can be told from a start that is still off
const EDGE_PX = 0.2; // what sampling, blur and compression move an edge by
const SCALE_ROUNDS = 6; // then the scale is held: chased by the weights it sets, it would not come to rest
const LEAST_SCALE = 1; // grey level; below it the rounding to whole levels would be called misfit
const LEAST_GAIN = 1e-3; // of the template's contrast: there is nothing of it in the picture

/**
 * Matches a template to a picture by the inverse-compositional Gauss-Newton method with a Euclidean warp,
 * gain and bias solved along as linear appearance: I(W(x)) = g T(x) + b. With A = [T_x, T_y, -y T_x + x T_y,
 * T, 1] each step solves z = (AᵀWA)⁻¹ AᵀW I(W), δ = z₁₋₃/g, and W <- W ∘ W(δ)⁻¹. Being linear in gain and
 * bias, it does not change when the light does.
 * Source: Baker & Matthews, Int. J. Comput. Vis. 56:221 (2004); Baker, Gross & Matthews, CMU-RI-TR-03-35
 * (2003), linear appearance.
 * @param spline of a part of the picture that holds the template at its start and at its end
 * @param start within a third of the template's finest detail, as the coarse search gives it
 */
export function matchTemplate(
  template: Template,
  spline: CubicSpline,
  start: Warp,
  options: MatchOptions = {},
): Result<Match, MatchRefusal> {
  const { iterations: most = 40, tolerance = 1e-4, robust = false, turns = true } = options;
  const columns = columnsOf(template, turns);
  const n = template.values.length;
  const weights = new Float64Array(n).fill(1);
  let factor = factorOf(columns, weights);
  if (factor === null) return refuse("no-detail");
  const seen = new Float64Array(n);
  let warp = start;
  let scale = 0;
  for (let round = 1; round <= most; round++) {
    if (!readWarped(template, spline, warp, seen)) return refuse("outside");
    let z = solved(columns, weights, factor, seen);
    if (robust && round > PLAIN_ROUNDS) {
      const left = leftOf(template, seen, z);
      if (round <= SCALE_ROUNDS) scale = scaleOf(left);
      reweigh(weights, template, left, scale);
      factor = factorOf(columns, weights);
      if (factor === null) return refuse("lost");
      z = solved(columns, weights, factor, seen);
    }
    const gain = z[3];
    if (!(gain > LEAST_GAIN)) return refuse("lost");
    const step = [z[0] / gain, z[1] / gain, z[2] / gain] as const;
    if (!step.every(Number.isFinite)) return refuse("lost");
    warp = takenBack(warp, step);
    const settled = Math.max(...step.map(Math.abs)) < tolerance && (!robust || round > PLAIN_ROUNDS + 1);
    if (settled) return ok(matchOf(template, warp, z, round, weights, factor, seen, turns));
  }
  return refuse("lost", { iterations: most });
}

/** W ∘ W(δ)⁻¹ for W(x) = t + R x and W(δ)(x) = d + R(θ_d) x. */
function takenBack({ x, y, theta }: Warp, [dx, dy, turn]: readonly [number, number, number]): Warp {
  const [c, s] = [Math.cos(theta - turn), Math.sin(theta - turn)];
  return { x: x - (c * dx - s * dy), y: y - (s * dx + c * dy), theta: theta - turn };
}

/**
 * Columns of A: slopes along x, y and theta (nothing where it does not turn), the template, ones; each [n].
 */
function columnsOf({ dx, dy, slopeX, slopeY, values }: Template, turns: boolean): readonly Float64Array[] {
  const ones = new Float64Array(values.length).fill(1);
  if (!turns) return [slopeX, slopeY, new Float64Array(values.length), values, ones];
  const turning = new Float64Array(values.length);
  for (let i = 0; i < turning.length; i++) turning[i] = -dy[i] * slopeX[i] + dx[i] * slopeY[i];
  return [slopeX, slopeY, turning, values, ones];
}

/** The Cholesky factor of AᵀWA, [25]; null when it has none. */
function factorOf(columns: readonly Float64Array[], weights: Float64Array): Float64Array | null {
  const normal = new Float64Array(TERMS * TERMS);
  for (let a = 0; a < TERMS; a++) addProducts(normal, a, columns, weights);
  // Held, theta is a term of its own that nothing moves.
  if (normal[THETA * TERMS + THETA] === 0) normal[THETA * TERMS + THETA] = 1;
  return choleskyInPlace(normal, TERMS) === null ? null : normal;
}

/** Row a of the lower triangle of AᵀWA: all its sums in one loop, which then do not wait for one another. */
function addProducts(
  normal: Float64Array,
  a: number,
  columns: readonly Float64Array[],
  weights: Float64Array,
): void {
  const [c0, c1, c2, c3, c4] = columns;
  const p = columns[a];
  let [s0, s1, s2, s3, s4] = [0, 0, 0, 0, 0];
  for (let i = 0; i < weights.length; i++) {
    const weighted = weights[i] * p[i];
    s0 += weighted * c0[i];
    s1 += weighted * c1[i];
    s2 += weighted * c2[i];
    s3 += weighted * c3[i];
    s4 += weighted * c4[i];
  }
  const sums = [s0, s1, s2, s3, s4];
  for (let b = 0; b <= a; b++) normal[a * TERMS + b] = sums[b];
}

function solved(
  columns: readonly Float64Array[],
  weights: Float64Array,
  factor: Float64Array,
  seen: Float64Array,
): Float64Array {
  const [c0, c1, c2, c3, c4] = columns;
  const right = new Float64Array(TERMS);
  let [s0, s1, s2, s3, s4] = [0, 0, 0, 0, 0];
  for (let i = 0; i < seen.length; i++) {
    const weighted = weights[i] * seen[i];
    s0 += weighted * c0[i];
    s1 += weighted * c1[i];
    s2 += weighted * c2[i];
    s3 += weighted * c3[i];
    s4 += weighted * c4[i];
  }
  right.set([s0, s1, s2, s3, s4]);
  return backSubstitute(factor, TERMS, forwardSubstitute(factor, TERMS, right));
}

/** Grey levels of the picture under the warped template; false when part of it lies outside. */
function readWarped(
  { dx, dy }: Template,
  spline: CubicSpline,
  { x, y, theta }: Warp,
  into: Float64Array,
): boolean {
  const [c, s] = [Math.cos(theta), Math.sin(theta)];
  for (let i = 0; i < into.length; i++) {
    const u = x + c * dx[i] - s * dy[i];
    const v = y + s * dx[i] + c * dy[i];
    if (!isInside(spline, u, v)) return false;
    into[i] = valueAt(spline, u, v);
  }
  return true;
}

function leftOf({ values }: Template, seen: Float64Array, z: Float64Array): Float64Array {
  const gain = z[3];
  const bias = z[4];
  const left = new Float64Array(values.length);
  for (let i = 0; i < left.length; i++) left[i] = seen[i] - gain * values[i] - bias;
  return left;
}

/** The scale of what is left, from its median size. */
function scaleOf(left: Float64Array): number {
  const sizes = new Float64Array(left.length);
  for (let i = 0; i < sizes.length; i++) sizes[i] = Math.abs(left[i]);
  sizes.sort();
  return Math.max(LEAST_SCALE, PER_MAD * sizes[Math.floor(sizes.length / 2)]);
}

/**
 * Tukey's biweight of what is left. Where the template is steep, a fraction of a pixel of difference between
 * two samplings of an edge leaves much and is no misfit: without that the edges, which are what fixes the
 * place, would count least.
 */
function reweigh(
  weights: Float64Array,
  { slopeX, slopeY }: Template,
  left: Float64Array,
  scale: number,
): void {
  for (let i = 0; i < left.length; i++) {
    const edge = EDGE_PX * EDGE_PX * (slopeX[i] * slopeX[i] + slopeY[i] * slopeY[i]);
    const square = (left[i] * left[i]) / (TUKEY * TUKEY * (scale * scale + edge));
    weights[i] = square >= 1 ? 0 : (1 - square) * (1 - square);
  }
}

function matchOf(
  template: Template,
  warp: Warp,
  z: Float64Array,
  iterations: number,
  weights: Float64Array,
  factor: Float64Array,
  seen: Float64Array,
  turns: boolean,
): Match {
  const left = leftOf(template, seen, z);
  let [counted, squares] = [0, 0];
  for (let i = 0; i < left.length; i++) {
    counted += weights[i];
    squares += weights[i] * left[i] * left[i];
  }
  return {
    ...warp,
    gain: z[3],
    bias: z[4],
    iterations,
    residual: Math.sqrt(squares / counted),
    likeness: correlation(template.values, seen),
    weights,
    left,
    inverse: inverseOf(factor, turns),
  };
}

function inverseOf(factor: Float64Array, turns: boolean): Float64Array {
  const inverse = new Float64Array(TERMS * TERMS);
  for (let k = 0; k < TERMS; k++) {
    const unit = Array.from({ length: TERMS }, (_, i) => (i === k ? 1 : 0));
    inverse.set(backSubstitute(factor, TERMS, forwardSubstitute(factor, TERMS, unit)), k * TERMS);
  }
  if (!turns) inverse[THETA * TERMS + THETA] = 0;
  return inverse;
}

/** Pearson's correlation; 0 where either does not vary. */
export function correlation(a: ArrayLike<number>, b: ArrayLike<number>): number {
  const n = a.length;
  let [meanA, meanB] = [0, 0];
  for (let i = 0; i < n; i++) {
    meanA += a[i] / n;
    meanB += b[i] / n;
  }
  let [aa, ab, bb] = [0, 0, 0];
  for (let i = 0; i < n; i++) {
    const p = a[i] - meanA;
    const q = b[i] - meanB;
    aa += p * p;
    ab += p * q;
    bb += q * q;
  }
  return aa > 0 && bb > 0 ? ab / Math.sqrt(aa * bb) : 0;
}
