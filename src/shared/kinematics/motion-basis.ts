/**
 * Functions of time for one coordinate of the pose. Acceleration is zero before `startS`, piecewise linear on
 * knots through the push, jumps freely at `releaseS`, and is piecewise linear again in free flight; position
 * and velocity are its integrals, so both are continuous everywhere and nothing is smoothed across release.
 * Push knots crowd towards the start, where a valve opening makes the acceleration change fastest.
 *
 * Coefficients: [c0, (v0 unless at rest), push accelerations at knots 0..P, flight
 * accelerations at knots 0..F].
 */
export interface MotionBasis {
  readonly size: number;
  /**
   * Index of the first push coefficient, the number of push coefficients, the first flight
   * coefficient and their number.
   */
  readonly push: { readonly first: number; readonly count: number };
  readonly flight: { readonly first: number; readonly count: number };
  readonly startS: number;
  readonly releaseS: number;
  /** [push.count], s: where each push coefficient is the acceleration. */
  readonly pushKnotsS: Float64Array;
  /** [push.count - 2]: how much freer each bend of the push is held than the last. */
  readonly looseness: readonly number[];
  /** s between two knots of the flight. */
  readonly flightIntervalS: number;
  /** The stretches between knots, in order of time: on each of them every position is a cubic. */
  readonly stretches: readonly Stretch[];
  /** The same with what each begins with; made when asked for: a search tries hundreds that never are. */
  readonly segments: readonly MotionSegment[];
  /**
   * Basis values of the d-th derivative (0, 1, 2) at t, [size]. At release itself the acceleration
   * is the push's last value.
   */
  row(timeS: number, derivative: 0 | 1 | 2): Float64Array;
}

/**
 * From one knot to the next. Before the start, where nothing accelerates, `left` is -1, the width infinite.
 */
export interface Stretch {
  readonly fromS: number;
  readonly widthS: number;
  /** Index of the coefficient that is the acceleration at `fromS`; the next is that at the stretch's end. */
  readonly left: number;
}

/**
 * One stretch between knots. With t from `fromS` and T its width, x = position.c + velocity.c t + a0 (t²/2 -
 * t³/6T) + a1 t³/6T, where a0 and a1 are the coefficients `left` and `left` + 1.
 */
export interface MotionSegment extends Stretch {
  /** Basis values of position and velocity at `fromS`, [size]; zero from index `extent` on. */
  readonly position: Float64Array;
  readonly velocity: Float64Array;
  readonly extent: number;
}

export interface MotionBasisInput {
  /**
   * True when the airframe is at rest before startS; otherwise c0, v0 hold at startS, which
   * is the first mark's time.
   */
  readonly atRest: boolean;
  readonly startS: number;
  readonly releaseS: number;
  readonly endS: number;
  readonly pushIntervals: number;
  readonly flightIntervals: number;
  /** Ratio of the last push interval to the first, > 1 crowds knots at the start; 1 spaces them evenly. */
  readonly crowding: number;
  /** How much freer the first bend of the push is than those from LOOSE_BENDS on. */
  readonly loosest: number;
}

const LOOSE_BENDS = 10;

/** @throws RangeError unless startS < releaseS < endS and both interval counts are positive integers */
export function motionBasis(input: MotionBasisInput): MotionBasis {
  const { atRest, startS, releaseS, endS, pushIntervals, flightIntervals, crowding, loosest } = input;
  const counts = Number.isInteger(pushIntervals) && Number.isInteger(flightIntervals);
  if (!(startS < releaseS && releaseS < endS) || !counts || pushIntervals < 1 || flightIntervals < 1) {
    throw new RangeError(
      `motionBasis: need start < release < end and whole counts; got ${JSON.stringify(input)}`,
    );
  }
  const pushKnots = crowdedKnots(startS, releaseS, pushIntervals, crowding);
  const flightKnots = crowdedKnots(releaseS, endS, flightIntervals, 1);
  const first = atRest ? 1 : 2;
  const push = { first, count: pushIntervals + 1 };
  const flight = { first: first + push.count, count: flightIntervals + 1 };
  const size = flight.first + flight.count;
  const stretches: readonly Stretch[] = [
    { fromS: startS, widthS: Number.POSITIVE_INFINITY, left: -1 },
    ...stretchesOf(push.first, pushKnots),
    ...stretchesOf(flight.first, flightKnots),
  ];
  let segments: readonly MotionSegment[] | undefined;
  return {
    size,
    push,
    flight,
    startS,
    releaseS,
    pushKnotsS: pushKnots,
    looseness: Array.from(
      { length: Math.max(0, pushIntervals - 1) },
      (_, i) => 1 + (loosest - 1) * Math.max(0, 1 - i / LOOSE_BENDS),
    ),
    flightIntervalS: (endS - releaseS) / flightIntervals,
    stretches,
    get segments() {
      segments ??= segmentsOf(size, atRest, stretches);
      return segments;
    },
    row(timeS, derivative) {
      const row = new Float64Array(size);
      if (derivative === 0) row[0] = 1;
      if (!atRest) row[1] = derivative === 0 ? timeS - startS : derivative === 1 ? 1 : 0;
      addHats(row, push.first, pushKnots, timeS, derivative, timeS <= releaseS);
      if (timeS > releaseS) addHats(row, flight.first, flightKnots, timeS, derivative, true);
      return row;
    },
  };
}

/** Knots from a to b with intervals growing geometrically so that last/first = crowding. */
function crowdedKnots(a: number, b: number, intervals: number, crowding: number): Float64Array {
  const knots = new Float64Array(intervals + 1);
  const growth = intervals > 1 ? crowding ** (1 / (intervals - 1)) : 1;
  let [sum, step] = [0, 1];
  for (let i = 1; i <= intervals; i++) {
    sum += step;
    step *= growth;
    knots[i] = sum;
  }
  for (let i = 0; i <= intervals; i++) knots[i] = a + ((b - a) * knots[i]) / sum;
  knots[intervals] = b;
  return knots;
}

/**
 * Adds the d-th derivative of the double integrals of hat functions on the knots. A hat is a sum of steps and
 * ramps that start at knots; a ramp (x)+ integrates twice to x³/6 and a step to x²/2.
 * @param inside true while t is within the knots: the last half-hat is then not cut off yet
 */
function addHats(
  row: Float64Array,
  first: number,
  knots: Float64Array,
  t: number,
  derivative: 0 | 1 | 2,
  inside: boolean,
): void {
  const last = knots.length - 1;
  for (let j = 0; j <= last; j++) {
    const x = t - knots[j];
    if (x < 0) break;
    const ramp = derivative === 0 ? (x * x * x) / 6 : derivative === 1 ? (x * x) / 2 : x;
    const step = derivative === 0 ? (x * x) / 2 : derivative === 1 ? x : 1;
    if (j > 0) {
      // The ramp down of hat j - 1 ends here, and the ramp up of hat j that began one
      // knot earlier ends here too.
      const width = knots[j] - knots[j - 1];
      row[first + j - 1] = row[first + j - 1] + ramp / width;
      row[first + j] = row[first + j] - ramp / width;
    }
    if (j < last) {
      const width = knots[j + 1] - knots[j];
      row[first + j] = row[first + j] - ramp / width;
      row[first + j + 1] = row[first + j + 1] + ramp / width;
    }
    if (j === 0) row[first] = row[first] + step;
    else if (j === last && !inside) row[first + last] = row[first + last] - step;
  }
}

function stretchesOf(first: number, knots: Float64Array): readonly Stretch[] {
  return Array.from({ length: knots.length - 1 }, (_, j) => ({
    fromS: knots[j],
    widthS: knots[j + 1] - knots[j],
    left: first + j,
  }));
}

/** Position and velocity carried from knot to knot: v += (a0 + a1) T/2, x += v T + a0 T²/3 + a1 T²/6. */
function segmentsOf(size: number, atRest: boolean, stretches: readonly Stretch[]): readonly MotionSegment[] {
  // one block of memory: small arrays cost more to make than to fill
  const rows = new Float64Array(2 * size * (stretches.length + 1));
  const rowAt = (i: number) => rows.subarray(i * size, (i + 1) * size);
  let [position, velocity] = [rowAt(0), rowAt(1)];
  position[0] = 1;
  if (!atRest) velocity[1] = 1;
  let extent = atRest ? 1 : 2;
  return stretches.map((stretch, which) => {
    const segment: MotionSegment = { ...stretch, position, velocity, extent };
    const { left, widthS } = stretch;
    if (left < 0) return segment;
    const [x, v] = [rowAt(2 * which), rowAt(2 * which + 1)];
    for (let i = 0; i < extent; i++) {
      v[i] = velocity[i];
      x[i] = position[i] + velocity[i] * widthS;
    }
    x[left] = x[left] + (widthS * widthS) / 3;
    x[left + 1] = x[left + 1] + (widthS * widthS) / 6;
    v[left] = v[left] + widthS / 2;
    v[left + 1] = v[left + 1] + widthS / 2;
    [position, velocity, extent] = [x, v, left + 2];
    return segment;
  });
}
