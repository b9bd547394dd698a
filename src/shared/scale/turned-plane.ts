import type { Covariance2 } from "../numeric/covariance.ts";
import type { Measured } from "../quantity/measured.ts";
import { ok, type Result, refuse } from "../quantity/result.ts";

/**
 * A flight plane turned about the vertical away from the picture's plane. The turn is about the vertical line
 * at `pivotM`, where the scale holds; positive when the side towards larger x is farther from the camera.
 */
export interface Turn {
  readonly turnRad: Measured;
  /** m, camera to the pivot; null when unknown: the picture is then taken as seen from afar. */
  readonly distanceM: Measured | null;
  /** m, horizontal place of the pivot from the picture's centre, x to the right, in apparent metres. */
  readonly pivotM: number;
}

export interface TurnedPlane {
  /**
   * Apparent [x, y] m from the picture's centre -> [along, y] m on the turned plane, along
   * measured from the pivot.
   */
  toPlane(at: readonly [number, number]): readonly [number, number];
  /** The inverse of toPlane. */
  toApparent(at: readonly [number, number]): readonly [number, number];
  /**
   * Length along the plane for one apparent metre at a place, horizontally; u from the turn and the
   * distance, common to all frames.
   */
  stretch(xM: number): Measured;
  /** Covariance of toPlane at a place from turn and distance, common to all frames. */
  covariance(at: readonly [number, number]): Covariance2;
}

// beyond 60° a small error of the turn moves the result more than the clip is worth
const STEEPEST_RAD = Math.PI / 3;

/**
 * Undoes the turn. With apparent X = Z (x0 + c cos phi)/(Z + c sin phi) for a place c along the plane, c = Z
 * (X - x0)/(Z cos phi - X sin phi), y = Y (Z + c sin phi)/Z, dc/dX = Z (Z cos phi - x0 sin phi)/(Z cos phi -
 * X sin phi)²; from afar c = (X - x0)/cos phi, y = Y. u(1/cos phi) carries its second-order term, tan(phi)
 * being 0 at no turn: u² = (f' u)² + (f'' u²)²/2.
 * Source: pinhole camera; JCGM 100:2008, 5.1.2 with its note on higher order.
 * @returns the map; or "turned-too-far" beyond 60°, with `turnRad` and `limitRad`; "too-near" when the
 *   distance is not above ten of its standard uncertainties, with `distanceM` and `neededM`
 * @throws RangeError on inputs that are not finite, a distance <= 0 or a u < 0
 */
export function turnedPlane(turn: Turn): Result<TurnedPlane, "turned-too-far" | "too-near"> {
  const { turnRad, distanceM, pivotM } = turn;
  const inputs = [turnRad.value, turnRad.u, pivotM, distanceM?.value ?? 1, distanceM?.u ?? 0];
  if (
    !inputs.every(Number.isFinite) ||
    turnRad.u < 0 ||
    (distanceM && !(distanceM.value > 0 && distanceM.u >= 0))
  ) {
    throw new RangeError(`turnedPlane: need finite inputs, a distance > 0, u >= 0; got ${inputs.join(", ")}`);
  }
  if (Math.abs(turnRad.value) > STEEPEST_RAD) {
    return refuse("turned-too-far", { turnRad: turnRad.value, limitRad: STEEPEST_RAD });
  }
  if (distanceM && distanceM.value <= 10 * distanceM.u) {
    return refuse("too-near", { distanceM: distanceM.value, neededM: 10 * distanceM.u });
  }
  const phi = turnRad.value;
  const inverse = distanceM ? 1 / distanceM.value : 0; // 1/Z: from afar is 0, with no special case below
  const uInverse = distanceM ? distanceM.u / distanceM.value ** 2 : 0;
  const map = (x: number, y: number, angle: number, perMetre: number): readonly [number, number] => {
    const along = (x - pivotM) / (Math.cos(angle) - x * perMetre * Math.sin(angle));
    return [along, y * (1 + along * perMetre * Math.sin(angle))];
  };
  const slope = (x: number, angle: number, perMetre: number) => {
    const sin = Math.sin(angle) * perMetre;
    return (Math.cos(angle) - pivotM * sin) / (Math.cos(angle) - x * sin) ** 2;
  };
  return ok({
    toPlane: ([x, y]) => map(x, y, phi, inverse),
    toApparent: ([along, y]) => {
      const depth = 1 + along * inverse * Math.sin(phi);
      return [(pivotM + along * Math.cos(phi)) / depth, y / depth];
    },
    stretch: (x) => ({
      value: slope(x, phi, inverse),
      u: Math.hypot(
        firstAndSecond((angle) => slope(x, angle, inverse), phi, turnRad.u),
        derivative((perMetre) => slope(x, phi, perMetre), inverse, 1e-4) * uInverse,
      ),
    }),
    covariance: ([x, y]) => {
      const byTurn = [0, 1].map(
        (k) => derivative((angle) => map(x, y, angle, inverse)[k], phi, 1e-4) * turnRad.u,
      );
      const byDistance = [0, 1].map((k) => derivative((q) => map(x, y, phi, q)[k], inverse, 1e-4) * uInverse);
      const product = (i: number, j: number) => byTurn[i] * byTurn[j] + byDistance[i] * byDistance[j];
      return [product(0, 0), product(0, 1), product(1, 1)];
    },
  });
}

/** sqrt((f' u)² + (f'' u²)²/2), the standard uncertainty to second order of f of a normal variable. */
function firstAndSecond(f: (x: number) => number, x: number, u: number): number {
  const h = 1e-3; // rad: the error of f'' is near 1e-6 of f from the step, 1e-10 from rounding
  const second = (f(x + h) - 2 * f(x) + f(x - h)) / h ** 2;
  return Math.hypot(derivative(f, x, 1e-4) * u, (second * u ** 2) / Math.SQRT2);
}

/** Central difference; with steps of 1e-4 rad (or 1e-4 per metre) good to about 1e-8 of f. */
function derivative(f: (x: number) => number, x: number, h: number): number {
  return (f(x + h) - f(x - h)) / (2 * h);
}
