import { findRoot } from "../numeric/find-root.ts";
import { STANDARD_GRAVITY } from "../quantity/gravity.ts";
import { ok, type Result, refuse } from "../quantity/result.ts";
import type { ExpectedShot } from "./plan-input.ts";

/**
 * A push with a closed form, and the flight after it. Times from first motion; lengths from the
 * centre of gravity at rest.
 */
export interface ExpectedMotion {
  readonly pushS: number;
  readonly peakMPerS2: number;
  /** m/s along the path. */
  speedAt(timeS: number): number;
  /** m, x forward, y up, and rad, pitch. At rest before first motion, under gravity alone after release. */
  poseAt(timeS: number): readonly [x: number, y: number, pitchRad: number];
}

// T/tau; below it the terms of the travel cancel to nothing. The push is then all rise: v ~ t²
const SHORTEST = 0.05;
// T/tau; beyond it the push is over in a fortieth of the stroke's time, which no launcher does
const LONGEST = 40;
const GENTLEST = 0.95; // T/tau at which the peak for a given speed and stroke is least

/**
 * A valve-like push: speed v(t) = V (1 - e^(-t/tau))², so that the acceleration rises from nothing, peaks at
 * V/(2 tau) at tau ln 2 and decays; ends after T with the speed v and travel L that are asked for. V, tau and
 * T follow from v, L and T or the peak, since v T/L and peak L/v² depend on T/tau only. The pitch rate grows
 * as the speed does (a push line that misses the centre of gravity) and stays as it is after release; the
 * airframe starts pitched along the push.
 * @returns the motion; or why no such push has these numbers, with the bounds of what is possible (m/s² or s)
 * @throws RangeError when speed, stroke, peak or time is not > 0: the caller's bug
 */
export function expectedMotion(
  shot: ExpectedShot,
): Result<ExpectedMotion, "peak-impossible" | "time-impossible"> {
  const { speedMPerS: v, strokeM: stroke, push, angleRad, pitchRateRadPerS } = shot;
  const given = push.by === "peak" ? push.peakMPerS2 : push.pushS;
  if (!(v > 0 && stroke > 0 && given > 0)) {
    throw new RangeError(`expectedMotion: need speed, stroke and push > 0; got ${v}, ${stroke}, ${given}`);
  }
  const length =
    push.by === "peak" ? lengthForPeak((given * stroke) / v ** 2) : lengthForTime((given * v) / stroke);
  if (length === null) {
    return push.by === "peak"
      ? refuse("peak-impossible", {
          least: (peakNumber(GENTLEST) * v ** 2) / stroke,
          most: (peakNumber(LONGEST) * v ** 2) / stroke,
        })
      : refuse("time-impossible", {
          least: (timeNumber(LONGEST) * stroke) / v,
          most: (timeNumber(SHORTEST) * stroke) / v,
        });
  }
  const pushS = (timeNumber(length) * stroke) / v;
  const tau = pushS / length;
  const final = v / (1 - Math.exp(-length)) ** 2;
  const speedAt = (timeS: number) => final * (1 - Math.exp(-Math.min(Math.max(timeS, 0), pushS) / tau)) ** 2;
  const travelAt = (timeS: number) => final * tau * travelNumber(Math.min(Math.max(timeS, 0), pushS) / tau);
  const [cos, sin] = [Math.cos(angleRad), Math.sin(angleRad)];
  return ok({
    pushS,
    peakMPerS2: (peakNumber(length) * v ** 2) / stroke,
    speedAt: (timeS) => {
      const flown = Math.max(0, timeS - pushS);
      const along = speedAt(timeS);
      return Math.hypot(along * cos, along * sin - STANDARD_GRAVITY * flown);
    },
    poseAt: (timeS) => {
      const flown = Math.max(0, timeS - pushS);
      const travel = travelAt(timeS);
      const along = travel + v * flown;
      const pitch = angleRad + pitchRateRadPerS * (travel / v + flown);
      return [along * cos, along * sin - (STANDARD_GRAVITY * flown * flown) / 2, pitch];
    },
  });
}

/** x(k tau)/(V tau) = k - 2 (1 - e^-k) + (1 - e^-2k)/2 */
function travelNumber(k: number): number {
  return k + 2 * Math.expm1(-k) - Math.expm1(-2 * k) / 2;
}

/** v T/L: from 3, all rise, to 1, at speed at once; falls with k = T/tau. */
function timeNumber(k: number): number {
  return (k * (1 - Math.exp(-k)) ** 2) / travelNumber(k);
}

/**
 * peak L/v², the peak being V/(2 tau) or, in a push that ends before tau ln 2, the last acceleration; rises
 * with k from GENTLEST on.
 */
function peakNumber(k: number): number {
  const rise = 1 - Math.exp(-k);
  const peak = k >= Math.LN2 ? 1 / 2 : 2 * rise * (1 - rise);
  return (peak * travelNumber(k)) / rise ** 4;
}

function lengthForTime(target: number): number | null {
  const [short, long] = [timeNumber(SHORTEST) - target, timeNumber(LONGEST) - target];
  if (short < 0 || long > 0) return null;
  return findRoot((k) => timeNumber(k) - target, SHORTEST, short, LONGEST, long);
}

function lengthForPeak(target: number): number | null {
  const [gentle, hard] = [peakNumber(GENTLEST) - target, peakNumber(LONGEST) - target];
  if (gentle > 0 || hard < 0) return null;
  return findRoot((k) => peakNumber(k) - target, GENTLEST, gentle, LONGEST, hard);
}
