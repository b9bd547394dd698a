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
  let counted = 0;
  for (let i = 0; i < weights.length; i++) counted += weights[i];
  const variance = (match.residual ** 2 * counted) / Math.max(1, counted - TERMS) / gain ** 2;
  const laid = laidOut(template, match);
  const total = outerSums(laid, correlatedWith(laid, match.residual)).map((sum) => variance * sum);
  for (let a = 0; a < 3; a++) {
    const white = variance * inverse[a * TERMS + a];
    // Residuals can look less correlated than chance makes them; that is no knowledge of the place.
    if (total[a * 3 + a] < white) return turnedCovariance(whiteBlock(inverse, variance), match.theta);
  }
  return turnedCovariance(total, match.theta);
}

/**
 * A match laid out on a square with a margin of the reach, where a sample that the template lacks is 0: a
 * pair with it then adds nothing, and no pair need be asked for.
 */
interface LaidOut {
  readonly side: number;
  /** The place of each sample; [n]. */
  readonly places: Int32Array;
  /** B at each place, x, y and theta; [3 · side²]. */
  readonly rows: readonly [Float64Array, Float64Array, Float64Array];
  /** √w, and √w r; [side²]. */
  readonly roots: Float64Array;
  readonly left: Float64Array;
}

function laidOut(template: Template, match: Match): LaidOut {
  const { dx, dy, slopeX, slopeY, values } = template;
  const { inverse, weights } = match;
  let reach = 0;
  for (let i = 0; i < dx.length; i++) reach = Math.max(reach, Math.abs(dx[i]), Math.abs(dy[i]));
  const margin = reach + REACH;
  const side = 2 * margin + 1;
  const places = new Int32Array(values.length);
  const empty = () => new Float64Array(side * side);
  const [x, y, theta, roots, left] = [empty(), empty(), empty(), empty(), empty()];
  for (let i = 0; i < places.length; i++) {
    const at = (dy[i] + margin) * side + dx[i] + margin;
    places[i] = at;
    const turning = -dy[i] * slopeX[i] + dx[i] * slopeY[i];
    const into = (row: number) =>
      weights[i] *
      (inverse[row] * slopeX[i] +
        inverse[row + 1] * slopeY[i] +
        inverse[row + 2] * turning +
        inverse[row + 3] * values[i] +
        inverse[row + 4]);
    x[at] = into(0);
    y[at] = into(TERMS);
    theta[at] = into(2 * TERMS);
    roots[at] = Math.sqrt(weights[i]);
    left[at] = roots[at] * match.left[i];
  }
  return { side, places, rows: [x, y, theta], roots, left };
}

/** Σ k(h) ρ(h) B_{i+h} over the offsets but (0, 0), a row each for x, y and theta; [3 · n]. */
function correlatedWith({ side, places, rows, roots, left }: LaidOut, residual: number): Float64Array {
  const n = places.length;
  const sums = new Float64Array(3 * n);
  if (residual === 0) return sums;
  const [x, y, theta] = rows;
  for (const [u, v] of OFFSETS) {
    if (u === 0 && v === 0) continue;
    const apart = v * side + u;
    let [product, pairs] = [0, 0];
    for (let i = 0; i < n; i++) {
      const at = places[i];
      product += left[at] * left[at + apart];
      pairs += roots[at] * roots[at + apart];
    }
    if (pairs === 0) continue;
    const taper = (1 - Math.abs(u) / (REACH + 1)) * (1 - v / (REACH + 1));
    const share = (taper * product) / pairs / residual ** 2;
    for (let i = 0; i < n; i++) {
      const at = places[i] + apart;
      sums[i] += share * x[at];
      sums[n + i] += share * y[at];
      sums[2 * n + i] += share * theta[at];
    }
  }
  return sums;
}

/** Σ_i B_i B_iᵀ, and Σ_i B_i S_iᵀ with its mirror image, S what each is correlated with; [9]. */
function outerSums({ places, rows }: LaidOut, sums: Float64Array): Float64Array {
  const n = places.length;
  const total = new Float64Array(9);
  for (let a = 0; a < 3; a++) {
    for (let b = 0; b < 3; b++) {
      const [p, q] = [rows[a], rows[b]];
      let sum = 0;
      for (let i = 0; i < n; i++) {
        const at = places[i];
        sum += p[at] * (q[at] + sums[b * n + i]) + sums[a * n + i] * q[at];
      }
      total[a * 3 + b] = sum;
    }
  }
  return total;
}

function whiteBlock(inverse: Float64Array, variance: number): Float64Array {
  return Float64Array.from({ length: 9 }, (_, k) => variance * inverse[Math.floor(k / 3) * TERMS + (k % 3)]);
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
