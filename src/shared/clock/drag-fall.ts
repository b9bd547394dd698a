import { weightedPolynomial } from "../numeric/weighted-polynomial.ts";
import type { Measured } from "../quantity/measured.ts";

/** A dropped ball and the air it falls through. */
export interface DroppedBall {
  readonly massKg: Measured;
  readonly diameterM: Measured;
  /** 1, of the frontal area: about 0.5 for smooth balls at falling speeds. */
  readonly dragCoefficient: Measured;
  /** kg/m³ */
  readonly airDensity: Measured;
}

/**
 * m/s, with its standard uncertainty: v_t = √(2 m g/(ρ C_d π d²/4)). @throws RangeError on an input not > 0
 */
export function terminalSpeed(ball: DroppedBall, gravity: number): Measured {
  const { massKg: m, diameterM: d, dragCoefficient: c, airDensity: rho } = ball;
  if (![m, d, c, rho].every(({ value, u }) => value > 0 && u >= 0) || !(gravity > 0)) {
    throw new RangeError(
      `terminalSpeed: need mass, diameter, C_d, density and g > 0; got ${JSON.stringify(ball)}`,
    );
  }
  const value = Math.sqrt((8 * m.value * gravity) / (rho.value * c.value * Math.PI * d.value ** 2));
  const relative = Math.hypot(m.u / m.value, rho.u / rho.value, c.u / c.value, (2 * d.u) / d.value) / 2;
  return { value, u: value * relative };
}

/**
 * m, fall from rest with quadratic drag: y = (v_t²/g) ln cosh(g t/v_t). Source: J. R. Taylor, Classical
 * Mechanics, 2.4. Even in t, so that marks a hair before a fitted rest do no harm.
 */
export function dragFallM(timeS: number, terminalMPerS: number, gravity: number): number {
  const x = Math.abs((gravity * timeS) / terminalMPerS);
  // ln cosh x without overflow, and by its series where the logarithm would lose its digits: the x⁶/45
  // left out is below 1e-14.
  const lnCosh = x < 0.005 ? x ** 2 / 2 - x ** 4 / 12 : x + Math.log1p(Math.exp(-2 * x)) - Math.LN2;
  return (terminalMPerS ** 2 / gravity) * lnCosh;
}

/** The parabola that best fits a fall with drag. */
export interface DragParabola {
  /** Its acceleration over g. */
  readonly ratio: number;
  /** s, from the true rest to the vertex of the parabola. */
  readonly restS: number;
  /** [n], m, what it misses of the fall at each time. */
  readonly missesM: readonly number[];
}

/**
 * Fits a parabola to the fall at some times, as the marks are fitted.
 * @param timesS [n], from rest @param us [n], u of each place, any common unit
 */
export function dragParabola(
  terminalMPerS: number,
  gravity: number,
  timesS: readonly number[],
  us: readonly number[],
): DragParabola {
  const falls = timesS.map((t) => dragFallM(t, terminalMPerS, gravity));
  const { coefficients, centre, half, residuals } = weightedPolynomial(timesS, falls, us, 2);
  const [, c1, c2] = coefficients as [number, number, number];
  return {
    ratio: (2 * c2) / half ** 2 / gravity,
    restS: centre - (half * c1) / (2 * c2),
    missesM: residuals,
  };
}

/**
 * What a parabola fitted to a fall with drag gives for its acceleration, over g. u(ratio) is the change for
 * one u of the terminal speed. Parameters as for dragParabola.
 */
export function dragRatio(
  ball: DroppedBall,
  gravity: number,
  timesS: readonly number[],
  us: readonly number[],
): Measured {
  const terminal = terminalSpeed(ball, gravity);
  const ratioAt = (speed: number) => dragParabola(speed, gravity, timesS, us).ratio;
  const step = Math.min(terminal.u / 2, terminal.value / 10); // a wide u must not step to a speed of nothing
  const change = step > 0 ? ratioAt(terminal.value + step) - ratioAt(terminal.value - step) : 0;
  const u = step > 0 ? (Math.abs(change) * terminal.u) / (2 * step) : 0;
  return { value: ratioAt(terminal.value), u };
}
