import { STANDARD_GRAVITY } from "../../quantity/gravity.ts";
import { ok, type Result, refuse } from "../../quantity/result.ts";

/** [s from ignition, N]. */
export type ThrustPoint = readonly [timeS: number, thrustN: number];

/**
 * Thrust of a motor against time: straight lines between points, none before the first and after
 * the last. Times do not fall; two points at one time are a jump. A thrust above 0 at the first or
 * last point is a jump too.
 */
export type ThrustCurve = readonly ThrustPoint[];

/**
 * Impulse from the first point to each, N·s: the trapezoid rule, which is exact for straight lines.
 * @returns [n], the first 0 and the last the total impulse
 */
export function cumulativeImpulse(curve: ThrustCurve): readonly number[] {
  const sums: number[] = [];
  curve.forEach(([t, f], i) => {
    const [t0, f0] = curve[i - 1] ?? [t, f];
    sums.push((sums.at(-1) ?? 0) + ((f0 + f) / 2) * (t - t0));
  });
  return sums;
}

/** Total impulse I = ∫F dt, N·s. */
export function totalImpulse(curve: ThrustCurve): number {
  return cumulativeImpulse(curve).at(-1) ?? 0;
}

/** Greatest thrust, N. */
export function peakThrust(curve: ThrustCurve): number {
  return Math.max(0, ...curve.map(([, f]) => f));
}

/** Mean thrust over the whole curve, I/(t_n − t_1), N; 0 for a curve of no length. */
export function meanThrust(curve: ThrustCurve): number {
  const length = (curve.at(-1)?.[0] ?? 0) - (curve[0]?.[0] ?? 0);
  return length > 0 ? totalImpulse(curve) / length : 0;
}

/**
 * From where thrust first passes a share of its peak to where it last falls below it, s from ignition. Motor
 * makers count burn time between 5 % of the peak: common practice, no source.
 * @throws RangeError when the share is not between 0 and 1 or the curve has no thrust
 */
export function burnLimits(curve: ThrustCurve, share = 0.05): readonly [number, number] {
  const level = share * peakThrust(curve);
  if (!(share > 0 && share < 1 && level > 0)) {
    throw new RangeError(`burnLimits: need thrust and 0 < share < 1; got a level of ${level} N`);
  }
  const first = curve.findIndex(([, f]) => f > level);
  const last = curve.findLastIndex(([, f]) => f > level);
  return [crossing(curve[first - 1], curve[first], level), crossing(curve[last + 1], curve[last], level)];
}

/**
 * Specific impulse I/(m_p g), s, with the standard acceleration of free fall.
 * @throws RangeError when the mass is not > 0
 */
export function specificImpulse(impulseNs: number, propellantKg: number): number {
  if (!(propellantKg > 0))
    throw new RangeError(`specificImpulse: propellant must be > 0; got ${propellantKg}`);
  return impulseNs / (propellantKg * STANDARD_GRAVITY);
}

export interface Trapezoid {
  readonly totalImpulseNs: number;
  /** N, total impulse over burn time. */
  readonly meanThrustN: number;
  readonly riseS: number;
  readonly fallS: number;
}

/**
 * A motor of which only the packet is known: rise, level and fall with the stated impulse. The burn lasts
 * t_b = I/F_mean; the level is F = I/(t_b − (t_rise + t_fall)/2). A rise or fall of 0 is a jump.
 * @returns the curve; or "rise-and-fall-too-long" when they take more than the burn ({ burnS, riseAndFallS })
 * @throws RangeError when impulse or mean thrust is not > 0, or rise or fall < 0
 */
export function trapezoidCurve(motor: Trapezoid): Result<ThrustCurve, "rise-and-fall-too-long"> {
  const { totalImpulseNs: impulse, meanThrustN: mean, riseS, fallS } = motor;
  if (!(impulse > 0 && mean > 0 && riseS >= 0 && fallS >= 0 && Number.isFinite(impulse / mean))) {
    throw new RangeError(`trapezoidCurve: got ${impulse} N·s, ${mean} N, rise ${riseS} s, fall ${fallS} s`);
  }
  const burnS = impulse / mean;
  if (riseS + fallS > burnS) return refuse("rise-and-fall-too-long", { burnS, riseAndFallS: riseS + fallS });
  const level = impulse / (burnS - (riseS + fallS) / 2);
  return ok([
    [0, 0],
    [riseS, level],
    [Math.max(riseS, burnS - fallS), level],
    [burnS, 0],
  ]);
}

/**
 * Where the line from the point outside to the one inside passes the level; the inside point's time
 * where there is no outside.
 */
function crossing(outside: ThrustPoint | undefined, inside: ThrustPoint, level: number): number {
  if (outside === undefined) return inside[0];
  const part = (level - outside[1]) / (inside[1] - outside[1]);
  return outside[0] + part * (inside[0] - outside[0]);
}
