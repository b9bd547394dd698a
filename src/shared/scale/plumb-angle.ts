import type { Measured } from "../quantity/measured.ts";
import type { PxPoint } from "../quantity/point.ts";
import { ok, type Result, refuse } from "../quantity/result.ts";

// as for the scale: below this the first-order law for an angle is no longer good to 3 %
const NEEDED_IN_U = 10;

/**
 * Roll of the picture from a marked true vertical: the angle from the picture's downward axis to the line top
 * -> bottom, rho = atan2(-dx, dy) with (dx, dy) = bottom - top, positive when the picture was taken rolled so
 * that true "down" points to the left of the picture's down. u² = 2 (uPx/d)² + hang², d the marked length.
 * Source: JCGM 100:2008, 5.1.2.
 * @param hangRad standard uncertainty of the line's own verticality (a plumb line in wind, a door frame)
 * @returns rad; or "too-close" when d <= 10 u(d)
 * @throws RangeError on inputs that are not finite, or a u < 0
 */
export function plumbAngle(
  top: PxPoint,
  bottom: PxPoint,
  uPx: number,
  hangRad: number,
): Result<Measured, "too-close"> {
  const inputs = [...top, ...bottom, uPx, hangRad];
  if (!inputs.every(Number.isFinite) || uPx < 0 || hangRad < 0) {
    throw new RangeError(`plumbAngle: need finite inputs, u >= 0; got ${inputs.join(", ")}`);
  }
  const dx = bottom[0] - top[0];
  const dy = bottom[1] - top[1];
  const separationPx = Math.hypot(dx, dy);
  const uSeparation = Math.SQRT2 * uPx;
  if (separationPx <= NEEDED_IN_U * uSeparation) {
    return refuse("too-close", { separationPx, neededPx: NEEDED_IN_U * uSeparation });
  }
  return ok({ value: Math.atan2(-dx, dy), u: Math.hypot(uSeparation / separationPx, hangRad) });
}
