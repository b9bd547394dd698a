import { STANDARD_GRAVITY } from "../quantity/gravity.ts";
import type { MotionPosterior } from "./motion-posterior.ts";

/** Coordinates of the pose in the launch frame: 0 along the launch direction (m), 1 across it, upwards (m), 2 pitch (rad). */
export type Coordinate = 0 | 1 | 2;
export type Derivative = 0 | 1 | 2;

/** The d-th derivative of one coordinate's posterior mean at an instant, gravity after release included. */
export function meanAt(
  posterior: MotionPosterior,
  directionRad: number,
  coordinate: Coordinate,
  derivative: Derivative,
  timeS: number,
): number {
  const row = posterior.basis.row(timeS, derivative);
  const from = coordinate * posterior.basis.size;
  let sum = fallen(timeS - posterior.basis.releaseS, directionRad, coordinate, derivative);
  for (let i = 0; i < row.length; i++) sum += (row[i] as number) * (posterior.mean[from + i] as number);
  return sum;
}

/** The pose [s, n, pitch] of the posterior mean at an instant. */
export function meanPose(
  posterior: MotionPosterior,
  directionRad: number,
  timeS: number,
): readonly [number, number, number] {
  const of = (coordinate: Coordinate) => meanAt(posterior, directionRad, coordinate, 0, timeS);
  return [of(0), of(1), of(2)];
}

/** What gravity adds after release: it is known, so it is not among the fitted coefficients. */
function fallen(
  flownS: number,
  directionRad: number,
  coordinate: Coordinate,
  derivative: Derivative,
): number {
  if (coordinate === 2 || flownS <= 0) return 0;
  const g = -STANDARD_GRAVITY * (coordinate === 0 ? Math.sin(directionRad) : Math.cos(directionRad));
  return derivative === 0 ? (g * flownS * flownS) / 2 : derivative === 1 ? g * flownS : g;
}
