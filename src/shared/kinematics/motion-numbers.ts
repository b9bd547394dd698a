import { STANDARD_GRAVITY } from "../quantity/gravity.ts";
import { SPEED_SHARE } from "../quantity/push-interval.ts";
import type { MotionSegment } from "./motion-basis.ts";
import type { MotionPosterior } from "./motion-posterior.ts";

/** Every number that a motion gives, SI and radians. */
export interface MotionNumbers {
  /** s: from here on only gravity and the air act. */
  readonly releaseS: number;
  /** s: where the speed along the launch direction is SPEED_SHARE of that at release. */
  readonly startS: number;
  /** m/s and rad: velocity of the centre of gravity at release. */
  readonly speed: number;
  readonly direction: number;
  readonly pitch: number;
  readonly pitchRate: number;
  /** rad, pitch less direction of motion at release. */
  readonly attitude: number;
  /**
   * m/s², the largest acceleration along the launch direction in the push, and how long before release (s).
   */
  readonly peakAcceleration: number;
  readonly peakBeforeReleaseS: number;
  /** m/s³, from first motion to the peak. */
  readonly onsetJerk: number;
  readonly stroke: number;
  readonly pushTime: number;
  readonly meanAcceleration: number;
  /** rad/s², mean over the push. */
  readonly meanPitchAcceleration: number;
  /** m/s², what the air takes along the launch direction, mean over the marked flight. */
  readonly drag: number;
  /**
   * m²/s³, the largest product of speed and (acceleration + gravity along the push): power for each kilogram.
   */
  readonly peakPowerPerKg: number;
}

/**
 * Numbers of one motion, given by coefficients on a posterior's basis: its mean, or one drawn from it.
 * @param coefficients [3 * basis.size]: s, n, pitch
 */
export function motionNumbers(
  posterior: MotionPosterior,
  coefficients: ArrayLike<number>,
  directionRad: number,
): MotionNumbers {
  const { basis } = posterior;
  const { releaseS, size, push, flight, pushKnotsS } = basis;
  const rows = releaseRows(posterior);
  const dot = (row: Float64Array, coordinate: number) => {
    let sum = 0;
    for (let i = 0; i < size; i++) sum += row[i] * coefficients[coordinate * size + i];
    return sum;
  };
  const [vs, vn, pitchRate] = [0, 1, 2].map((c) => dot(rows.velocity, c)) as [number, number, number];
  const pitch = dot(rows.position, 2);
  const turn = Math.atan2(vn, vs);
  let [peak, peakAt] = [Number.NEGATIVE_INFINITY, 0];
  let peakPower = 0;
  const along = STANDARD_GRAVITY * Math.sin(directionRad);
  for (let i = 0; i < push.count; i++) {
    const a = coefficients[push.first + i];
    if (a > peak) [peak, peakAt] = [a, pushKnotsS[i]];
    peakPower = Math.max(peakPower, dot(rows.knotVelocity[i] as Float64Array, 0) * (a + along));
  }
  let drag = 0;
  for (let i = 0; i < flight.count; i++) drag -= coefficients[flight.first + i] / flight.count;
  const first = reached(rows, posterior, coefficients, SPEED_SHARE * vs);
  const last = reached(rows, posterior, coefficients, (1 - SPEED_SHARE) * vs);
  const pushTime = last.timeS - first.timeS;
  return {
    releaseS,
    startS: first.timeS,
    speed: Math.hypot(vs, vn),
    direction: directionRad + turn,
    pitch,
    pitchRate,
    attitude: pitch - directionRad - turn,
    peakAcceleration: peak,
    peakBeforeReleaseS: releaseS - peakAt,
    onsetJerk: peak / Math.max(peakAt - first.timeS, 1e-4),
    stroke: dot(rows.stroke, 0),
    pushTime,
    meanAcceleration: (last.speed - first.speed) / pushTime,
    meanPitchAcceleration: (last.pitchRate - first.pitchRate) / pushTime,
    drag,
    peakPowerPerKg: peakPower,
  };
}

interface Reached {
  readonly timeS: number;
  readonly speed: number;
  readonly pitchRate: number;
}

/**
 * Where the push last passes a speed along the launch direction, looked for back from release; its first
 * knot where it was never below.
 */
function reached(
  { knotVelocity }: ReleaseRows,
  { basis: { size, push, pushKnotsS } }: MotionPosterior,
  coefficients: ArrayLike<number>,
  speed: number,
): Reached {
  const at = (knot: number, coordinate: number) => {
    const row = knotVelocity[knot];
    let sum = 0;
    for (let i = 0; i < size; i++) sum += row[i] * coefficients[coordinate * size + i];
    return sum;
  };
  let knot = push.count - 2;
  while (knot > 0 && at(knot, 0) > speed) knot--;
  const widthS = pushKnotsS[knot + 1] - pushKnotsS[knot];
  const accelerations = (coordinate: number) => {
    const from = coordinate * size + push.first + knot;
    return [coefficients[from], coefficients[from + 1]] as const;
  };
  const [a0, a1] = accelerations(0);
  const timeS = firstReaching(speed - at(knot, 0), a0, a1, widthS);
  const gained = ([from, to]: readonly [number, number]) =>
    timeS * (from + ((to - from) * timeS) / (2 * widthS));
  return {
    timeS: pushKnotsS[knot] + timeS,
    speed: at(knot, 0) + gained([a0, a1]),
    pitchRate: at(knot, 2) + gained(accelerations(2)),
  };
}

/** When a0 t + (a1 - a0) t²/2T first reaches a gain, at most T. */
function firstReaching(gain: number, a0: number, a1: number, widthS: number): number {
  if (gain <= 0) return 0;
  const bend = (a1 - a0) / widthS;
  const under = a0 * a0 + 2 * bend * gain;
  const half = a0 + Math.sqrt(Math.max(0, under));
  const timeS = half > 0 ? (2 * gain) / half : widthS;
  return Math.min(timeS, widthS);
}

interface ReleaseRows {
  readonly position: Float64Array;
  readonly velocity: Float64Array;
  readonly stroke: Float64Array;
  readonly knotVelocity: readonly Float64Array[];
}

const kept = new WeakMap<MotionPosterior, ReleaseRows>();

/** Basis rows that every draw from one posterior needs; kept with it, since hundreds of draws share them. */
function releaseRows(posterior: MotionPosterior): ReleaseRows {
  const known = kept.get(posterior);
  if (known) return known;
  const { segments, push } = posterior.basis;
  // The rest comes first, then one segment from each push knot; the one from release on begins the flight.
  const fromKnots = segments.slice(1, 1 + push.count);
  const [start, release] = [fromKnots[0] as MotionSegment, fromKnots.at(-1) as MotionSegment];
  const rows = {
    position: release.position,
    velocity: release.velocity,
    stroke: less(release.position, start.position),
    knotVelocity: fromKnots.map((segment) => segment.velocity),
  };
  kept.set(posterior, rows);
  return rows;
}

function less(a: Float64Array, b: Float64Array): Float64Array {
  return a.map((x, i) => x - b[i]);
}
