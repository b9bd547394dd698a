import type { MotionBasis } from "./motion-basis.ts";

/**
 * Precisions (noise-relative) of what is held small: by how much the push's acceleration bends at a knot, how
 * much that of the flight changes from one knot to the next, and how the push begins, which no bend reaches.
 */
export interface Smoothness {
  readonly push: readonly [s: number, n: number, angle: number];
  readonly flight: readonly [translation: number, angle: number];
  /** Of the acceleration right after the start: along and across, and of the pitch. */
  readonly onset: readonly [translation: number, angle: number];
  /**
   * Of its change over the first interval between knots: a push that rises at once in full is not likelier
   * than one that builds up.
   */
  readonly rise: readonly [translation: number, angle: number];
}

/**
 * Combinations of neighbouring coefficients that share one precision: `weights[i]` times the
 * coefficients from `first` + i on.
 */
export interface HeldRun {
  readonly first: number;
  readonly weights: readonly (readonly number[])[];
}

/** Runs with their precision, in the order push s, push n, push pitch, flight translation, flight pitch. */
export function heldRuns(
  basis: MotionBasis,
  smoothness: Smoothness,
): readonly { readonly precision: number; readonly runs: readonly HeldRun[] }[] {
  const bends = bendWeights(basis.pushKnotsS);
  const changes = Array.from({ length: basis.flight.count - 1 }, () => CHANGE);
  const push = (c: number): HeldRun => ({ first: c * basis.size + basis.push.first, weights: bends });
  const flight = (c: number): HeldRun => ({ first: c * basis.size + basis.flight.first, weights: changes });
  const [s, n, pitch] = smoothness.push;
  return [
    { precision: s, runs: [push(0)] },
    { precision: n, runs: [push(1)] },
    { precision: pitch, runs: [push(2)] },
    { precision: smoothness.flight[0], runs: [flight(0), flight(1)] },
    { precision: smoothness.flight[1], runs: [flight(2)] },
  ];
}

const CHANGE = [-1, 1];

// A valve makes the push rise from nothing within a few knots and fall slowly after that: one smoothness for
// both takes the corner between them for a push that began late and at once. Of 4, 10 and 30 times as loose
// over the first 6, 10, 15 and 21 bends the likeliest over 80 simulated ram shots (restricted likelihood,
// other shots than those of the truth bench).
const LOOSER = 10;
const LOOSE_BENDS = 10;

/**
 * How far the acceleration at a knot lies off the straight line in time between its neighbours', twice, as
 * weights of the three; zero for any push that rises evenly, however the knots are spaced. The first bends
 * count for less, by a factor that falls evenly.
 */
function bendWeights(knotsS: Float64Array): readonly (readonly number[])[] {
  return Array.from({ length: Math.max(0, knotsS.length - 2) }, (_, row) => {
    const before = knotsS[row + 1] - knotsS[row];
    const after = knotsS[row + 2] - knotsS[row + 1];
    const loose = 1 + (LOOSER - 1) * Math.max(0, 1 - row / LOOSE_BENDS);
    const share = 2 / (loose * (before + after));
    return [share * after, -share * (before + after), share * before];
  });
}

// After release only gravity and the air act. Standard deviations of what the air may do, wide on purpose:
// lift and drag of up to about a weight, a pitching moment of a mis-set tail. They keep a push from being
// explained as flight. Common practice, no source.
const FLIGHT_LEVEL_SD = [10, 30] as const; // m/s², rad/s²

/**
 * Adds the prior precision to the lower triangle of [3 size x 3 size].
 * @returns log determinant of the prior precision, up to a constant that is the same for
 *   all candidates of one shot
 */
export function addPrior(a: Float64Array, basis: MotionBasis, smoothness: Smoothness): number {
  const n = 3 * basis.size;
  let logPrior = 0;
  for (const { precision, runs } of heldRuns(basis, smoothness)) {
    for (const { first, weights } of runs) {
      weights.forEach((row, i) => {
        addSquare(a, n, first + i, row, precision);
      });
      logPrior += weights.length * Math.log(precision);
    }
  }
  for (let c = 0; c < 3; c++) {
    const kind = c === 2 ? 1 : 0;
    const first = c * basis.size + basis.push.first;
    addSquare(a, n, first, [1], smoothness.onset[kind]);
    addSquare(a, n, first, CHANGE, smoothness.rise[kind]);
    logPrior += Math.log(smoothness.onset[kind]) + Math.log(smoothness.rise[kind]);
    const level = 1 / (FLIGHT_LEVEL_SD[kind] ** 2 * basis.flight.count);
    for (let i = 0; i < basis.flight.count; i++) {
      addSquare(a, n, c * basis.size + basis.flight.first + i, [1], level);
    }
  }
  return logPrior;
}

/** Adds precision w wᵀ at the diagonal from `first` on. */
function addSquare(
  a: Float64Array,
  n: number,
  first: number,
  weights: readonly number[],
  precision: number,
): void {
  for (let i = 0; i < weights.length; i++) {
    for (let j = 0; j <= i; j++) {
      const at = (first + i) * n + first + j;
      a[at] = a[at] + precision * weights[i] * weights[j];
    }
  }
}
