import { STANDARD_GRAVITY } from "../quantity/gravity.ts";
import type { MotionBasis, Stretch } from "./motion-basis.ts";

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

const TERMS = 4;
const FORM = TERMS * TERMS;

/**
 * What the frames of every stretch add up to, in the stretch's own terms: constant, slope, acceleration at
 * its left end, at its right.
 */
interface StretchSums {
  /** [stretches * FORM] each, lower triangles. */
  readonly products: Kinds;
  /** [3][stretches * TERMS]: s, n, pitch. */
  readonly moments: readonly [Float64Array, Float64Array, Float64Array];
}

/**
 * Accumulates the normal equations of all frames on a basis. Between two knots every position is a cubic, so
 * the frames there are first added up in its four terms. All that follows a knot depends on what comes before
 * it by place and speed there alone: the sums are therefore carried from the last stretch back to the first.
 * Cost: frames times 4² plus size². The s and n blocks have no cross term; and because all coordinates share
 * the basis, each cross block is itself symmetric: five triangles hold everything.
 * @param problem poses in order of time
 * @param gram [9 size²], where the Gram matrix is to be written
 */
export function normalEquations(
  problem: MotionProblem,
  basis: MotionBasis,
  gram: Float64Array,
): NormalEquations {
  const { size, stretches } = basis;
  const sums = sumsOf(problem, basis);
  gram.fill(0);
  const room = { triangle: new Float64Array(size * size), carried: new Float64Array(2 * size) };
  const starts = triangleStarts(size);
  for (let kind = 0; kind < 5; kind++) {
    carryBack(sums.products[kind] as Float64Array, basis, room);
    placeTriangle(room.triangle, size, gram, starts[kind], kind === 2 || kind === 3);
  }
  const moment = new Float64Array(3 * size);
  sums.moments.forEach((one, c) => {
    carryMomentsBack(one, stretches, moment.subarray(c * size, (c + 1) * size));
  });
  return { basis, gram, moment, constant: sums.constant };
}

function sumsOf(problem: MotionProblem, { stretches, releaseS }: MotionBasis) {
  const { poses } = problem;
  const forms = FORM * stretches.length;
  const terms = TERMS * stretches.length;
  const all = new Float64Array(5 * forms + 3 * terms);
  const products: Kinds = [
    all.subarray(0, forms),
    all.subarray(forms, 2 * forms),
    all.subarray(2 * forms, 3 * forms),
    all.subarray(3 * forms, 4 * forms),
    all.subarray(4 * forms, 5 * forms),
  ];
  const moments: StretchSums["moments"] = [
    all.subarray(5 * forms, 5 * forms + terms),
    all.subarray(5 * forms + terms, 5 * forms + 2 * terms),
    all.subarray(5 * forms + 2 * terms),
  ];
  let constant = 0;
  let from = 0;
  stretches.forEach((stretch, i) => {
    const endS = stretches[i + 1]?.fromS ?? Number.POSITIVE_INFINITY;
    let to = from;
    while (to < poses.length && (poses[to] as PoseInformation).timeS <= endS) to++;
    if (to > from) constant += addUp({ products, moments }, i, problem, from, to, stretch, releaseS);
    from = to;
  });
  return { products, moments, constant };
}

/**
 * Adds up frames from..to - 1 in the sums of a stretch, gravity after release taken out.
 * @returns their part of the constant
 */
function addUp(
  { products, moments }: StretchSums,
  at: number,
  { poses, directionRad }: MotionProblem,
  from: number,
  to: number,
  { fromS, widthS, left }: Stretch,
  releaseS: number,
): number {
  const [momentS, momentN, momentPitch] = moments;
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
      const own = at * TERMS + a;
      momentS[own] = momentS[own] + ta * es;
      momentN[own] = momentN[own] + ta * en;
      momentPitch[own] = momentPitch[own] + ta * ea;
      for (let b = 0; b <= a; b++) {
        const to = at * FORM + a * TERMS + b;
        const product = ta * terms[b];
        along[to] = along[to] + product * weight;
        across[to] = across[to] + product * weightAcross;
        alongPitch[to] = alongPitch[to] + product * alongArm;
        acrossPitch[to] = acrossPitch[to] + product * acrossArm;
        pitch[to] = pitch[to] + product * turning;
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
 * The Gram matrix of one kind of weight, from the sums of every stretch. Of what follows a knot, place x and
 * speed v there make up the form S(x, v), and 2 (x, v).R with each coefficient from there on. Over a stretch
 * of length T with the accelerations a and b at its ends, x gains T v + T² a/3 + T² b/6 and v T (a + b)/2.
 * @param sums [stretches * FORM]
 * @param room.triangle [size²]: left with the upper triangle, row by row
 */
function carryBack(
  sums: Float64Array,
  { size, push: { first }, stretches }: MotionBasis,
  { triangle, carried }: { readonly triangle: Float64Array; readonly carried: Float64Array },
): void {
  triangle.fill(0);
  carried.fill(0);
  let [sxx, sxv, svv] = [0, 0, 0];
  for (let i = stretches.length - 1; i > 0; i--) {
    const { widthS: t, left } = stretches[i] as Stretch;
    const m = FORM * i;
    const [ax, bx, half] = [(t * t) / 3, (t * t) / 6, t / 2];
    const rowA = left * size;
    const rowB = rowA + size;
    const right = left + 1;
    const rb = bx * carried[2 * right] + half * carried[2 * right + 1];
    for (let q = right; q < size; q++) {
      const rx = carried[2 * q];
      const rv = carried[2 * q + 1];
      const byV = half * rv;
      triangle[rowA + q] = ax * rx + byV;
      triangle[rowB + q] = triangle[rowB + q] + bx * rx + byV;
      carried[2 * q + 1] = rv + t * rx;
    }
    // S by what a and b alone make of place and speed at the end
    const [aX, aV] = [ax * sxx + half * sxv, ax * sxv + half * svv];
    const [bX, bV] = [bx * sxx + half * sxv, bx * sxv + half * svv];
    triangle[rowA + left] = ax * aX + half * aV + sums[m + 10];
    triangle[rowA + right] = triangle[rowA + right] + ax * bX + half * bV + sums[m + 14];
    triangle[rowB + right] = triangle[rowB + right] + bx * bX + half * bV + rb + sums[m + 15];
    carried[2 * left] = aX + sums[m + 8];
    carried[2 * left + 1] = aV + t * aX + sums[m + 9];
    carried[2 * right] = carried[2 * right] + bX + sums[m + 12];
    carried[2 * right + 1] = carried[2 * right + 1] + bV + t * bX + sums[m + 13];
    svv += t * (2 * sxv + t * sxx) + sums[m + 5];
    sxv += t * sxx + sums[m + 4];
    sxx += sums[m];
  }
  // Place and speed at the start are coefficients themselves; at rest there is no speed.
  triangle[0] = sxx + sums[0];
  for (let q = first; q < size; q++) triangle[q] = carried[2 * q];
  if (first === 1) return;
  triangle[1] = sxv + sums[4];
  triangle[size + 1] = svv + sums[5];
  for (let q = first; q < size; q++) triangle[size + q] = carried[2 * q + 1];
}

/** The same for the moments: what follows a knot makes up hx x + hv v. @param sums [stretches * TERMS] */
function carryMomentsBack(sums: Float64Array, stretches: readonly Stretch[], moment: Float64Array): void {
  let [hx, hv] = [0, 0];
  for (let i = stretches.length - 1; i > 0; i--) {
    const { widthS: t, left } = stretches[i] as Stretch;
    const m = TERMS * i;
    moment[left] = ((t * t) / 3) * hx + (t / 2) * hv + sums[m + 2];
    moment[left + 1] = moment[left + 1] + ((t * t) / 6) * hx + (t / 2) * hv + sums[m + 3];
    hv += t * hx + sums[m + 1];
    hx += sums[m];
  }
  moment[0] = hx + sums[0];
  if (stretches[1]?.left === 2) moment[1] = hv + sums[1];
}

/** Writes an upper triangle into the lower one that begins at `start`; into both where `whole`. */
function placeTriangle(
  triangle: Float64Array,
  k: number,
  gram: Float64Array,
  start: number,
  whole: boolean,
): void {
  const n = 3 * k;
  for (let i = 0; i < k; i++) {
    for (let j = i; j < k; j++) {
      const value = triangle[i * k + j];
      gram[start + j * n + i] = value;
      if (whole) gram[start + i * n + j] = value;
    }
  }
}
