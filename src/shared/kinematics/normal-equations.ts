import { STANDARD_GRAVITY } from "../quantity/gravity.ts";
import type { MotionBasis, MotionSegment } from "./motion-basis.ts";

/**
 * What the marks of one frame say of the pose (s, n, angle), as a quadratic form: with q the pose,
 * chi²(q) = constant - 2 eta . q + qᵀ Lambda q. s is along the launch direction (m), n across it, upwards
 * (m), angle the pitch (rad).
 */
export interface PoseInformation {
  readonly timeS: number;
  /** Lambda = [[weight, 0, alongArm], [0, weightAcross, acrossArm], [alongArm, acrossArm, turning]]. */
  readonly weight: number;
  readonly weightAcross: number;
  readonly alongArm: number;
  readonly acrossArm: number;
  readonly turning: number;
  readonly eta: readonly [number, number, number];
  readonly constant: number;
}

/** Everything about one shot's motion that does not depend on the candidate being tried. */
export interface MotionProblem {
  readonly poses: readonly PoseInformation[];
  /** Number of measured coordinates, twice the marks; fewer where errors last. */
  readonly coordinates: number;
  /** rad, launch direction above the horizontal: how gravity lies in (s, n). */
  readonly directionRad: number;
}

/** Normal equations of one basis: G, h and the constant, gravity after release taken out. */
export interface NormalEquations {
  readonly basis: MotionBasis;
  readonly gram: Float64Array;
  readonly moment: Float64Array;
  readonly constant: number;
}

/** One array for each kind of weight: weight, weightAcross, alongArm, acrossArm, turning. */
type Kinds = readonly [Float64Array, Float64Array, Float64Array, Float64Array, Float64Array];

/**
 * What the frames of one stretch add up to, in the stretch's own terms: constant, slope, acceleration at
 * its left end, at its right.
 */
interface SegmentSums {
  /** [TERMS * TERMS] each, lower triangle. */
  readonly products: Kinds;
  /** [3 * TERMS]: s, n, pitch. */
  readonly moments: Float64Array;
}
const TERMS = 4;

/**
 * Accumulates the normal equations of all frames on a basis. Between two knots every position is a cubic, so
 * the frames there are first added up in its four terms, and each stretch is then spread over the
 * coefficients once. Cost: frames times 4² plus stretches times size². The s and n blocks have no cross term;
 * and because all coordinates share the basis, each cross block is itself symmetric: five triangles hold
 * everything.
 * @param problem poses in order of time
 * @param gram [9 size²], where the Gram matrix is to be written
 */
export function normalEquations(
  problem: MotionProblem,
  basis: MotionBasis,
  gram: Float64Array,
): NormalEquations {
  const { poses } = problem;
  const { size, segments } = basis;
  gram.fill(0);
  const moment = new Float64Array(3 * size);
  const sums: SegmentSums = { products: kinds(TERMS * TERMS), moments: new Float64Array(3 * TERMS) };
  let constant = 0;
  let from = 0;
  segments.forEach((segment, i) => {
    const endS = segments[i + 1]?.fromS ?? Number.POSITIVE_INFINITY;
    let to = from;
    while (to < poses.length && (poses[to] as PoseInformation).timeS <= endS) to++;
    if (to === from) return;
    constant += addUp(sums, problem, from, to, segment, basis.releaseS);
    spreadProducts(sums.products, segment, size, gram);
    spreadMoments(sums.moments, segment, size, moment);
    from = to;
  });
  completeBlocks(gram, size);
  return { basis, gram, moment, constant };
}

function kinds(length: number): Kinds {
  return [
    new Float64Array(length),
    new Float64Array(length),
    new Float64Array(length),
    new Float64Array(length),
    new Float64Array(length),
  ];
}

/**
 * Adds up frames from..to - 1 in `sums`, gravity after release taken out. @returns their part of the constant
 */
function addUp(
  { products, moments }: SegmentSums,
  { poses, directionRad }: MotionProblem,
  from: number,
  to: number,
  { fromS, widthS, left }: MotionSegment,
  releaseS: number,
): number {
  for (const product of products) product.fill(0);
  moments.fill(0);
  const [along, across, alongPitch, acrossPitch, pitch] = products;
  const gravityS = -STANDARD_GRAVITY * Math.sin(directionRad);
  const gravityN = -STANDARD_GRAVITY * Math.cos(directionRad);
  const terms = new Float64Array(TERMS);
  let constant = 0;
  for (let frame = from; frame < to; frame++) {
    const pose = poses[frame] as PoseInformation;
    const { weight, weightAcross, alongArm, acrossArm, turning, eta } = pose;
    const flown = Math.max(0, pose.timeS - releaseS);
    const fallS = (gravityS * flown * flown) / 2;
    const fallN = (gravityN * flown * flown) / 2;
    const es = eta[0] - weight * fallS;
    const en = eta[1] - weightAcross * fallN;
    const ea = eta[2] - alongArm * fallS - acrossArm * fallN;
    constant +=
      pose.constant -
      2 * (eta[0] * fallS + eta[1] * fallN) +
      weight * fallS * fallS +
      weightAcross * fallN * fallN;
    const t = pose.timeS - fromS;
    const right = left < 0 ? 0 : (t * t * t) / (6 * widthS);
    terms[0] = 1;
    terms[1] = t;
    terms[2] = left < 0 ? 0 : (t * t) / 2 - right;
    terms[3] = right;
    for (let a = 0; a < TERMS; a++) {
      const ta = terms[a];
      moments[a] = moments[a] + ta * es;
      moments[TERMS + a] = moments[TERMS + a] + ta * en;
      moments[2 * TERMS + a] = moments[2 * TERMS + a] + ta * ea;
      for (let b = 0; b <= a; b++) {
        const at = a * TERMS + b;
        const product = ta * terms[b];
        along[at] = along[at] + product * weight;
        across[at] = across[at] + product * weightAcross;
        alongPitch[at] = alongPitch[at] + product * alongArm;
        acrossPitch[at] = acrossPitch[at] + product * acrossArm;
        pitch[at] = pitch[at] + product * turning;
      }
    }
  }
  return constant;
}

/**
 * Where in the full matrix [3k x 3k] the triangle of each kind of weight begins: s with s, n with n, pitch
 * with s, pitch with n, pitch with pitch.
 */
function triangleStarts(k: number): readonly [number, number, number, number, number] {
  const row = 2 * k * 3 * k;
  return [0, k * 3 * k + k, row, row + k, row + 2 * k];
}

/**
 * Adds Rᵀ M R to the lower triangle of each kind, where the rows of R are what the four terms of a stretch
 * are in the coefficients.
 */
function spreadProducts(products: Kinds, segment: MotionSegment, k: number, gram: Float64Array): void {
  spreadCarried(products, segment, k, gram);
  if (segment.left < 0) return;
  const starts = triangleStarts(k);
  for (let kind = 0; kind < 5; kind++) {
    spreadOwn(products[kind] as Float64Array, segment, 3 * k, starts[kind], gram);
  }
}

/**
 * The part of the place and speed that the stretch begins with: the long one, so all kinds go in one pass.
 */
function spreadCarried(
  [along, across, alongPitch, acrossPitch, pitch]: Kinds,
  { position, velocity, extent }: MotionSegment,
  k: number,
  gram: Float64Array,
): void {
  const n = 3 * k;
  const [s, nn, ps, pn, pp] = triangleStarts(k);
  for (let i = 0; i < extent; i++) {
    // One name at a time: taken apart from arrays, the innermost names cost more than the sums.
    const p = position[i];
    const v = velocity[i];
    const sp = along[0] * p + along[4] * v;
    const sv = along[4] * p + along[5] * v;
    const np = across[0] * p + across[4] * v;
    const nv = across[4] * p + across[5] * v;
    const psp = alongPitch[0] * p + alongPitch[4] * v;
    const psv = alongPitch[4] * p + alongPitch[5] * v;
    const pnp = acrossPitch[0] * p + acrossPitch[4] * v;
    const pnv = acrossPitch[4] * p + acrossPitch[5] * v;
    const ppp = pitch[0] * p + pitch[4] * v;
    const ppv = pitch[4] * p + pitch[5] * v;
    const row = i * n;
    for (let j = 0; j <= i; j++) {
      const pj = position[j];
      const vj = velocity[j];
      const at = row + j;
      gram[s + at] = gram[s + at] + sp * pj + sv * vj;
      gram[nn + at] = gram[nn + at] + np * pj + nv * vj;
      gram[ps + at] = gram[ps + at] + psp * pj + psv * vj;
      gram[pn + at] = gram[pn + at] + pnp * pj + pnv * vj;
      gram[pp + at] = gram[pp + at] + ppp * pj + ppv * vj;
    }
  }
}

/** The part of the stretch's own two accelerations, in the triangle that begins at `start`. */
function spreadOwn(
  m: Float64Array,
  { position, velocity, extent, left }: MotionSegment,
  n: number,
  start: number,
  gram: Float64Array,
): void {
  for (let term = 2; term < TERMS; term++) {
    const row = left + term - 2;
    const byPosition = m[term * TERMS];
    const bySlope = m[term * TERMS + 1];
    for (let j = 0; j < extent; j++) {
      const value = byPosition * position[j] + bySlope * velocity[j];
      // On the diagonal the term meets itself twice: once from each side of the product.
      add(gram, start + (row >= j ? row * n + j : j * n + row), row === j ? 2 * value : value);
    }
  }
  add(gram, start + left * n + left, m[10]);
  add(gram, start + (left + 1) * n + left, m[14]);
  add(gram, start + (left + 1) * n + left + 1, m[15]);
}

function spreadMoments(
  moments: Float64Array,
  { position, velocity, extent, left }: MotionSegment,
  k: number,
  moment: Float64Array,
): void {
  for (let c = 0; c < 3; c++) {
    const [constant, slope] = [moments[c * TERMS], moments[c * TERMS + 1]];
    for (let i = 0; i < extent; i++) {
      add(moment, c * k + i, constant * position[i] + slope * velocity[i]);
    }
    if (left < 0) continue;
    add(moment, c * k + left, moments[c * TERMS + 2]);
    add(moment, c * k + left + 1, moments[c * TERMS + 3]);
  }
}

function add(to: Float64Array, at: number, value: number): void {
  to[at] = to[at] + value;
}

/** Fills what symmetry gives: the cross blocks are symmetric in themselves. */
function completeBlocks(gram: Float64Array, k: number): void {
  const n = 3 * k;
  const [, , alongPitch, acrossPitch] = triangleStarts(k);
  for (let i = 0; i < k; i++) {
    for (let j = 0; j <= i; j++) {
      gram[alongPitch + j * n + i] = gram[alongPitch + i * n + j];
      gram[acrossPitch + j * n + i] = gram[acrossPitch + i * n + j];
    }
  }
}
