import type { Match } from "./match-template.ts";
import type { Template } from "./template.ts";

/** Covariance of x, y (px) and theta (rad) of a match; [9], row by row, along the picture's axes. */
export type WarpCovariance = Float64Array;

const TERMS = 5;
// samples; what compression and interpolation leave of a difference is spread over about as many
const REACH = 4;

/** Offsets (u, v) within reach, each for its mirror image too, which pairs the same samples. */
const OFFSETS: readonly (readonly [u: number, v: number])[] = Array.from({ length: REACH + 1 }, (_, v) =>
  Array.from({ length: 2 * REACH + 1 }, (_, at) => [at - REACH, v] as const),
)
  .flat()
  .filter(([u, v]) => v > 0 || u >= 0);

/**
 * Covariance of a match from the grey noise of each sample, which is taken to be independent: (σ_n/g)²
 * [(AᵀA)⁻¹]₃ₓ₃ (1 + σ_T² g²/σ_n²), turned into the picture's axes.
 * @param noise σ_n, grey levels of the picture's noise
 * @param templateNoise σ_T, grey levels of noise in the template itself; 0 for a clean one. The same
 *   template's part is the same in every picture: a common offset, which cancels in a speed.
 * Source: Baker & Matthews, Int. J. Comput. Vis. 56:221 (2004), Gauss-Newton Hessian; JCGM
 * 100:2008, 5.1.2, for both noises.
 */
export function whiteCovariance(match: Match, noise: number, templateNoise = 0): WarpCovariance {
  const variance = (noise / match.gain) ** 2 + templateNoise ** 2;
  const own = new Float64Array(9);
  for (let a = 0; a < 3; a++)
    for (let b = 0; b < 3; b++) own[a * 3 + b] = variance * match.inverse[a * TERMS + b];
  return turnedCovariance(own, match.theta);
}

/*
 * The letters below, as in the formulas:
 *
 *   A         derivatives of the grey values by the five terms of a match, [n*5]; W the weights of the
 *             samples B         (AᵀWA)⁻¹AᵀW, rows x, y and theta, [3*n]: what a grey level in a sample adds
 *             to the match r         grey levels left of a sample, s² their mean square; g the gain h = (u,
 *             v) an offset between two samples i and j, in samples k(h)      the taper, a triangle in u and
 *             in v; ρ(h) the correlation of what is left h apart a, b      rows and columns of a 3*3
 */

/**
 * Covariance of a match from what it left, neighbouring samples correlated as far as the residuals show:
 * s² Σ_h k(h) ρ(h) Σ_i B_i B_{i+h}ᵀ / g² over offsets h within four samples. What is left holds the noise of
 * picture and template both, and what compression did to either. Never less than for independent samples.
 * Source: Conley, J. Econometrics 92:1 (1999), for errors correlated over a distance;
 * degrees of freedom n - 5.
 */
export function correlatedCovariance(template: Template, match: Match): WarpCovariance {
  const { weights, inverse, gain } = match;
  const counted = weights.reduce((sum, w) => sum + w, 0);
  const variance = (match.residual ** 2 * counted) / Math.max(1, counted - TERMS) / gain ** 2;
  const rows = influence(template, match);
  const at = indexOf(template);
  const total = new Float64Array(9);
  for (const [u, v] of OFFSETS) {
    const { outer, product, pairs } = pairsApart(template, match, rows, at, u, v);
    if (pairs === 0 || match.residual === 0) continue;
    const alone = u === 0 && v === 0;
    const taper = (1 - Math.abs(u) / (REACH + 1)) * (1 - v / (REACH + 1));
    const rho = alone ? 1 : product / pairs / match.residual ** 2;
    for (let a = 0; a < 3; a++) {
      for (let b = 0; b < 3; b++) {
        const both = alone ? outer[a * 3 + b] : outer[a * 3 + b] + outer[b * 3 + a];
        total[a * 3 + b] += variance * taper * rho * both;
      }
    }
  }
  for (let a = 0; a < 3; a++) {
    const white = variance * inverse[a * TERMS + a];
    // Residuals can look less correlated than chance makes them; that is no knowledge of the place.
    if (total[a * 3 + a] < white) return turnedCovariance(whiteBlock(inverse, variance), match.theta);
  }
  return turnedCovariance(total, match.theta);
}

/**
 * All pairs of samples i and j with j = i + (u, v): Σ B_i B_jᵀ, [9]; Σ w r_i r_j and Σ
 * w, with w of both weights.
 */
function pairsApart(
  { values, dx, dy }: Template,
  { left, weights }: Match,
  rows: Float64Array,
  at: (x: number, y: number) => number,
  u: number,
  v: number,
): { readonly outer: Float64Array; readonly product: number; readonly pairs: number } {
  const n = values.length;
  const alone = u === 0 && v === 0;
  let [product, pairs] = [0, 0];
  // Nine sums by name: they are most of what a mark's u costs.
  let [xx, xy, xt, yx, yy, yt, tx, ty, tt] = [0, 0, 0, 0, 0, 0, 0, 0, 0];
  for (let i = 0; i < n; i++) {
    const j = alone ? i : at(dx[i] + u, dy[i] + v);
    if (j < 0) continue;
    const w = Math.sqrt(weights[i] * weights[j]);
    product += w * left[i] * left[j];
    pairs += w;
    const xi = rows[i];
    const yi = rows[n + i];
    const ti = rows[2 * n + i];
    const xj = rows[j];
    const yj = rows[n + j];
    const tj = rows[2 * n + j];
    xx += xi * xj;
    xy += xi * yj;
    xt += xi * tj;
    yx += yi * xj;
    yy += yi * yj;
    yt += yi * tj;
    tx += ti * xj;
    ty += ti * yj;
    tt += ti * tj;
  }
  return { outer: Float64Array.of(xx, xy, xt, yx, yy, yt, tx, ty, tt), product, pairs };
}

function whiteBlock(inverse: Float64Array, variance: number): Float64Array {
  return Float64Array.from({ length: 9 }, (_, k) => variance * inverse[Math.floor(k / 3) * TERMS + (k % 3)]);
}

/** Rows x, y, theta of (AᵀWA)⁻¹AᵀW; [3 · n]. */
function influence({ dx, dy, slopeX, slopeY, values }: Template, { inverse, weights }: Match): Float64Array {
  const n = values.length;
  const rows = new Float64Array(3 * n);
  for (let i = 0; i < n; i++) {
    const [sx, sy] = [slopeX[i], slopeY[i]];
    const column = [sx, sy, -dy[i] * sx + dx[i] * sy, values[i], 1];
    for (let a = 0; a < 3; a++) {
      let sum = 0;
      for (let b = 0; b < TERMS; b++) sum += inverse[a * TERMS + b] * column[b];
      rows[a * n + i] = weights[i] * sum;
    }
  }
  return rows;
}

/** The place of an offset in the template's list; -1 where it has none. */
function indexOf({ dx, dy }: Template): (x: number, y: number) => number {
  const reach = dx.reduce((most, x, i) => Math.max(most, Math.abs(x), Math.abs(dy[i])), 0);
  const side = 2 * reach + 1;
  const table = new Int32Array(side * side).fill(-1);
  dx.forEach((x, i) => {
    table[(dy[i] + reach) * side + x + reach] = i;
  });
  return (x, y) => (Math.abs(x) > reach || Math.abs(y) > reach ? -1 : table[(y + reach) * side + x + reach]);
}

/** From the template's axes, in which a step is taken, to the picture's: x and y turn with theta. */
export function turnedCovariance(c: Float64Array, theta: number): WarpCovariance {
  const [cos, sin] = [Math.cos(theta), Math.sin(theta)];
  const r = [cos, -sin, 0, sin, cos, 0, 0, 0, 1];
  const out = new Float64Array(9);
  for (let a = 0; a < 3; a++) {
    for (let b = 0; b < 3; b++) {
      let sum = 0;
      for (let p = 0; p < 3; p++)
        for (let q = 0; q < 3; q++) sum += r[a * 3 + p] * c[p * 3 + q] * r[b * 3 + q];
      out[a * 3 + b] = sum;
    }
  }
  return out;
}
