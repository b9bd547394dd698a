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
  return motionAt(posterior, directionRad, timeS)(coordinate, derivative);
}

/** The posterior mean at one instant as a function of coordinate and derivative; each basis row is made once, when first asked for. */
export function motionAt(
  posterior: MotionPosterior,
  directionRad: number,
  timeS: number,
): (coordinate: Coordinate, derivative: Derivative) => number {
  const rows: (Float64Array | undefined)[] = [];
  const { basis, mean } = posterior;
  return (coordinate, derivative) => {
    let row = rows[derivative];
    if (row === undefined) {
      row = basis.row(timeS, derivative);
      rows[derivative] = row;
    }
    const from = coordinate * basis.size;
    let sum = fallen(timeS - basis.releaseS, directionRad, coordinate, derivative);
    for (let i = 0; i < row.length; i++) sum += (row[i] as number) * (mean[from + i] as number);
    return sum;
  };
}

/** The pose [s, n, pitch] of the posterior mean at an instant. */
export function meanPose(
  posterior: MotionPosterior,
  directionRad: number,
  timeS: number,
): readonly [number, number, number] {
  const at = motionAt(posterior, directionRad, timeS);
  return [at(0, 0), at(1, 0), at(2, 0)];
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
