import { weightedPolynomial } from "../numeric/weighted-polynomial.ts";
import { STANDARD_GRAVITY } from "../quantity/gravity.ts";
import type { Measured } from "../quantity/measured.ts";
import { ok, type Result, refuse } from "../quantity/result.ts";

/** A place of a body that flies freely: x forward, y up, m. */
export interface FlownPlace {
  readonly timeS: number;
  readonly x: number;
  readonly y: number;
  /** m, standard uncertainty of each coordinate. */
  readonly u: number;
}

const LEAST_PLACES = 8; // a parabola and some places to spare
const STEEPEST = 0.5; // cosine of 60°: on a steeper path gravity pulls along it, where drag does too

/**
 * Acceleration across the path of a free flight over g cos θ, θ the path's angle above the horizontal. Drag
 * acts along the path and takes no part; lift does, and so does an error of the scale or, twice, of the
 * rate: in metres and seconds the bend goes with scale times rate squared, so that 1 is a check of both.
 * Least squares of a parabola for each coordinate; u is that of the places alone.
 * @param places by time
 * @returns 1 where gravity alone bends the path; "too-short" under 8 places, "too-steep" beyond 60°
 */
export function pathBend(places: readonly FlownPlace[]): Result<Measured, "too-short" | "too-steep"> {
  if (places.length < LEAST_PLACES)
    return refuse("too-short", { places: places.length, needed: LEAST_PLACES });
  const [x, y] = [motionOf(places, "x"), motionOf(places, "y")];
  const speed = Math.hypot(x.speed, y.speed);
  const [cos, sin] = [x.speed / speed, y.speed / speed];
  if (!(Math.abs(cos) > STEEPEST)) return refuse("too-steep", { cosine: cos, needed: STEEPEST });
  const gravity = STANDARD_GRAVITY * Math.abs(cos);
  // Across the path, towards its lower side.
  const across = (x.acceleration * sin - y.acceleration * cos) * Math.sign(cos);
  return ok({ value: across / gravity, u: Math.hypot(x.u * sin, y.u * cos) / gravity });
}

function motionOf(places: readonly FlownPlace[], coordinate: "x" | "y") {
  const { coefficients, covariance, half } = weightedPolynomial(
    places.map(({ timeS }) => timeS),
    places.map((place) => place[coordinate]),
    places.map(({ u }) => u),
    2,
  );
  return {
    speed: coefficients[1] / half,
    acceleration: (2 * coefficients[2]) / half ** 2,
    u: (2 * Math.sqrt(covariance[2]?.[2])) / half ** 2,
  };
}
