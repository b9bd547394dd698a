/**
 * Functions of time for one coordinate of the pose. Acceleration is zero before `startS`, piecewise linear on knots through the
 * push, jumps freely at `releaseS`, and is piecewise linear again in free flight; position and velocity are its
 * integrals, so both are continuous everywhere and nothing is smoothed across release. Push knots crowd towards the
 * start, where a valve opening makes the acceleration change fastest.
 *
 * Coefficients: [c0, (v0 unless at rest), push accelerations at knots 0..P, flight accelerations at knots 0..F].
 */
export interface MotionBasis {
  readonly size: number;
  /** Index of the first push coefficient, the number of push coefficients, the first flight coefficient and their number. */
  readonly push: { readonly first: number; readonly count: number };
  readonly flight: { readonly first: number; readonly count: number };
  readonly startS: number;
  readonly releaseS: number;
  /** [push.count], s: where each push coefficient is the acceleration. */
  readonly pushKnotsS: Float64Array;
  /** Basis values of the d-th derivative (0, 1, 2) at t, [size]. At release itself the acceleration is the push's last value. */
  row(timeS: number, derivative: 0 | 1 | 2): Float64Array;
}

export interface MotionBasisInput {
  /** True when the airframe is at rest before startS; otherwise c0, v0 hold at startS, which is the first mark's time. */
  readonly atRest: boolean;
  readonly startS: number;
  readonly releaseS: number;
  readonly endS: number;
  readonly pushIntervals: number;
  readonly flightIntervals: number;
  /** Ratio of the last push interval to the first, > 1 crowds knots at the start; 1 spaces them evenly. */
  readonly crowding: number;
}

/** @throws RangeError unless startS < releaseS < endS and both interval counts are positive integers */
export function motionBasis(input: MotionBasisInput): MotionBasis {
  const { atRest, startS, releaseS, endS, pushIntervals, flightIntervals, crowding } = input;
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
  return {
    size,
    push,
    flight,
    startS,
    releaseS,
    pushKnotsS: pushKnots,
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
  for (let i = 0; i <= intervals; i++) knots[i] = a + ((b - a) * (knots[i] as number)) / sum;
  knots[intervals] = b;
  return knots;
}

/**
 * Adds the d-th derivative of the double integrals of hat functions on the knots. A hat is a sum of steps and ramps that
 * start at knots; a ramp (x)+ integrates twice to x³/6 and a step to x²/2.
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
    const x = t - (knots[j] as number);
    if (x < 0) break;
    const ramp = derivative === 0 ? (x * x * x) / 6 : derivative === 1 ? (x * x) / 2 : x;
    const step = derivative === 0 ? (x * x) / 2 : derivative === 1 ? x : 1;
    if (j > 0) {
      // The ramp down of hat j - 1 ends here, and the ramp up of hat j that began one knot earlier ends here too.
      const width = (knots[j] as number) - (knots[j - 1] as number);
      row[first + j - 1] = (row[first + j - 1] as number) + ramp / width;
      row[first + j] = (row[first + j] as number) - ramp / width;
    }
    if (j < last) {
      const width = (knots[j + 1] as number) - (knots[j] as number);
      row[first + j] = (row[first + j] as number) - ramp / width;
      row[first + j + 1] = (row[first + j + 1] as number) + ramp / width;
    }
    if (j === 0) row[first] = (row[first] as number) + step;
    else if (j === last && !inside) row[first + last] = (row[first + last] as number) - step;
  }
}
