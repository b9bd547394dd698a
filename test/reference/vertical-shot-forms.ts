import { STANDARD_GRAVITY as G } from "../../src/shared/quantity/gravity.ts";

/*
 * Closed forms of a body thrown straight up with drag that grows with the square of speed; source: e.g. J. R.
 * Taylor, Classical Mechanics, 2.4.
 */

/**
 * Climb of a vertical shot: h = (v_t²/2g) ln(1 + v₀²/v_t²) after t = (v_t/g) atan(v₀/v_t);
 * without drag v₀²/2g and v₀/g.
 * @param terminal m/s, Infinity without drag
 * @throws RangeError when v₀ < 0 or the terminal speed is not positive
 */
export function apogeeOf(
  speedMPerS: number,
  terminal: number,
): { readonly heightM: number; readonly timeS: number } {
  check("apogeeOf", speedMPerS, terminal);
  if (terminal === Infinity) return { heightM: speedMPerS ** 2 / (2 * G), timeS: speedMPerS / G };
  const ratio = speedMPerS / terminal;
  return {
    heightM: (terminal ** 2 / (2 * G)) * Math.log1p(ratio ** 2),
    timeS: (terminal / G) * Math.atan(ratio),
  };
}

/** m/s per m: d v₀/d h = g (1 + v₀²/v_t²)/v₀ at a launch speed v₀ > 0. */
export function speedPerHeight(speedMPerS: number, terminal: number): number {
  return (G * (1 + (speedMPerS / terminal) ** 2)) / speedMPerS;
}

/**
 * Fall from rest through a height: v = v_t √(1 − e^(−2 g h/v_t²)) after t = (v_t/g) acosh e^(g h/v_t²);
 * without drag √(2 g h), √(2 h/g).
 * @throws RangeError when h < 0 or the terminal speed is not positive
 */
export function fallThrough(
  heightM: number,
  terminal: number,
): { readonly speedMPerS: number; readonly timeS: number } {
  check("fallThrough", heightM, terminal);
  if (terminal === Infinity)
    return { speedMPerS: Math.sqrt(2 * G * heightM), timeS: Math.sqrt((2 * heightM) / G) };
  // acosh(1 + e) = log1p(e + √(e(e + 2))), without cancellation
  const rise = Math.expm1((G * heightM) / terminal ** 2);
  return {
    speedMPerS: terminal * Math.sqrt(-Math.expm1((-2 * G * heightM) / terminal ** 2)),
    timeS: (terminal / G) * Math.log1p(rise + Math.sqrt(rise * (rise + 2))),
  };
}

function check(name: string, x: number, terminal: number): void {
  if (!(x >= 0 && x < Infinity && terminal > 0))
    throw new RangeError(`${name}: got ${x} with terminal speed ${terminal} m/s`);
}
