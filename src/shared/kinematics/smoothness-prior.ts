import type { SparseVector } from "../numeric/inverse-forms.ts";
import { STANDARD_GRAVITY } from "../quantity/gravity.ts";
import type { MotionBasis } from "./motion-basis.ts";

/**
 * Precisions (noise-relative) of what is held small, and what the pitch is held to. The first two are found
 * by restricted likelihood, the others are given.
 */
export interface Smoothness {
  /** By how much the push's acceleration bends at a knot; of the pitch, what its arm does not explain. */
  readonly push: readonly [s: number, n: number, pitch: number];
  /** How much the acceleration of the flight changes in time: over the root of a second. */
  readonly flight: readonly [s: number, n: number, pitch: number];
  /** Of the acceleration right after the start, which no bend reaches. */
  readonly onset: readonly [s: number, n: number, pitch: number];
  /**
   * Of its change over the first interval between knots: a push that rises at once in full is not likelier
   * than one that builds up.
   */
  readonly rise: readonly [s: number, n: number, pitch: number];
  /** Of the jump along at release: a push may be cut off, or fade out until nothing of it is left to jump. */
  readonly end: number;
  /** How much freer the last bend of the push is held than those before LOOSE_END_BENDS. */
  readonly looseEnd: number;
  /** m/s², the acceleration along in flight that is to be expected, gravity apart. */
  readonly air: { readonly mean: number; readonly sd: number };
  /**
   * rad/m, the pitch's acceleration over the push's: a push line that misses the centre of gravity turns the
   * airframe in step with the push.
   */
  readonly arm: number;
}

/**
 * Combinations of coefficients that are held small, those together that share one precision: push s, n and
 * pitch, flight s, n and pitch.
 */
export function heldRows(
  basis: MotionBasis,
  smoothness: Smoothness,
): readonly { readonly precision: number; readonly rows: readonly SparseVector[] }[] {
  const bends = bendWeights(basis, smoothness.looseEnd);
  const push = (c: number) => bends.map((weights, i) => pushRow(basis, c, i, weights, smoothness.arm));
  const share = 1 / Math.sqrt(basis.flightIntervalS);
  const flight = (c: number) =>
    Array.from({ length: basis.flight.count - 1 }, (_, i): SparseVector => {
      const at = c * basis.size + basis.flight.first + i;
      return { at: [at, at + 1], weights: [-share, share] };
    });
  return ([0, 1, 2] as const)
    .map((c) => ({ precision: smoothness.push[c], rows: push(c) }))
    .concat(([0, 1, 2] as const).map((c) => ({ precision: smoothness.flight[c], rows: flight(c) })));
}

/**
 * Weights on the push's coefficients of one coordinate from `first` on; of the pitch
 * less what its arm explains.
 */
function pushRow(
  basis: MotionBasis,
  coordinate: number,
  first: number,
  weights: readonly number[],
  arm: number,
): SparseVector {
  const from = (c: number) => weights.map((_, i) => c * basis.size + basis.push.first + first + i);
  if (coordinate !== 2 || arm === 0) return { at: from(coordinate), weights };
  return { at: [...from(2), ...from(0)], weights: [...weights, ...weights.map((w) => -arm * w)] };
}

/**
 * How far the acceleration at a knot lies off the straight line in time between its neighbours', twice, as
 * weights of the three; zero for any push that rises evenly, however the knots are spaced. Loose bends count
 * for less.
 */
function bendWeights(
  { pushKnotsS: knotsS, looseness }: MotionBasis,
  looseEnd: number,
): readonly (readonly number[])[] {
  return looseness.map((first, row) => {
    const fromEnd = looseness.length - 1 - row;
    const loose = first * (1 + (looseEnd - 1) * Math.max(0, 1 - fromEnd / LOOSE_END_BENDS));
    const before = knotsS[row + 1] - knotsS[row];
    const after = knotsS[row + 2] - knotsS[row + 1];
    const share = 2 / (loose * (before + after));
    return [share * after, -share * (before + after), share * before];
  });
}

// After release only gravity and the air act. What the air may do, mean and standard deviation: it slows, by
// a third of a weight give or take two thirds; it lifts by up to about a weight; a mis-set tail
// or an airframe that swings back turns it. They keep a push from being explained as flight.
// Common practice, no source.
export const SLOWED_BY_AIR: Smoothness["air"] = { mean: -3, sd: 6 }; // m/s²
const ACROSS = { mean: 0, sd: 10 }; // m/s²
const PITCH = { mean: 0, sd: 10 }; // rad/s²
/** A motor that burns on, or a launcher that was not left. Common practice, no source. */
export const PUSHED_ON: Smoothness["air"] = { mean: 0, sd: 100 };

/** The prior as it enters the normal equations. */
export interface AddedPrior {
  /** [3 size]: what is added to the moment, because some of what is held is not held to zero. */
  readonly moment: Float64Array;
  /** What is added to the constant for the same reason. */
  readonly constant: number;
  /**
   * log determinant of the prior precision, up to a constant that is the same for all candidates of one shot.
   */
  readonly logPrior: number;
}

/**
 * Adds the prior precision to the lower triangle of [3 size x 3 size].
 * @param directionRad launch direction above the horizontal: a push that has faded out leaves the airframe to
 *   its weight, of which the flight's coefficients are free
 */
export function addPrior(
  a: Float64Array,
  basis: MotionBasis,
  smoothness: Smoothness,
  directionRad: number,
): AddedPrior {
  const { size, push, flight } = basis;
  const { arm, onset, rise } = smoothness;
  const moment = new Float64Array(3 * size);
  let logPrior = 0;
  for (const [i, bend] of bendWeights(basis, smoothness.looseEnd).entries()) {
    hold(a, size, push.first + i, bend, smoothness.push, arm);
    // Together with onset and rise the rows are a triangle; this is its diagonal.
    logPrior += logOf(smoothness.push) + 6 * Math.log(Math.abs(bend[2]));
  }
  const share = 1 / Math.sqrt(basis.flightIntervalS);
  for (let i = 0; i < flight.count - 1; i++) {
    hold(a, size, flight.first + i, [-share, share], smoothness.flight, 0);
    logPrior += logOf(smoothness.flight) + 6 * Math.log(share);
  }
  hold(a, size, push.first, ALONE, onset, arm);
  hold(a, size, push.first, CHANGE, rise, arm);
  logPrior += logOf(onset) + logOf(rise);
  const airs = [smoothness.air, ACROSS, PITCH] as const;
  const level = three((c) => 1 / (airs[c].sd ** 2 * flight.count));
  for (let i = 0; i < flight.count; i++) {
    hold(a, size, flight.first + i, ALONE, level, 0);
    for (let c = 0; c < 3; c++) {
      const at = c * size + flight.first + i;
      moment[at] = moment[at] + level[c] * airs[c].mean;
    }
    logPrior += logOf(level);
  }
  // Push and flight coefficients follow each other.
  const fallen = STANDARD_GRAVITY * Math.sin(directionRad);
  const last = flight.first - 1;
  hold(a, size, last, CHANGE, [smoothness.end, 0, 0], 0);
  moment[last] = moment[last] - smoothness.end * fallen;
  moment[last + 1] = moment[last + 1] + smoothness.end * fallen;
  logPrior += Math.log(smoothness.end);
  const targets = airs.reduce((sum, { mean }, c) => sum + flight.count * level[c] * mean * mean, 0);
  return { moment, constant: targets + smoothness.end * fallen * fallen, logPrior };
}

/** Of s, n and pitch. */
type Precisions = readonly [s: number, n: number, pitch: number];
const ALONE = [1];
const CHANGE = [-1, 1];

function three(of: (c: 0 | 1 | 2) => number): Precisions {
  return [of(0), of(1), of(2)];
}

function logOf([s, n, pitch]: Precisions): number {
  return Math.log(s) + Math.log(n) + Math.log(pitch);
}

/**
 * Holds the same weighted coefficients, from `first` on, of s, of n and of pitch less the arm times s, each
 * with its own precision.
 */
function hold(
  a: Float64Array,
  size: number,
  first: number,
  weights: readonly number[],
  [s, n, pitch]: Precisions,
  arm: number,
): void {
  const width = 3 * size;
  const along = s + arm * arm * pitch;
  const between = -arm * pitch;
  for (let i = 0; i < weights.length; i++) {
    const rowS = (first + i) * width + first;
    const rowN = rowS + size * width + size;
    const rowPitch = rowN + size * width + size;
    for (let j = 0; j < weights.length; j++) {
      const product = weights[i] * weights[j];
      // the block of pitch with s lies whole in the lower triangle
      const cross = rowPitch - 2 * size + j;
      if (arm !== 0) a[cross] = a[cross] + between * product;
      if (j > i) continue;
      a[rowS + j] = a[rowS + j] + along * product;
      a[rowN + j] = a[rowN + j] + n * product;
      a[rowPitch + j] = a[rowPitch + j] + pitch * product;
    }
  }
}

const LOOSE_END_BENDS = 4;
