import type { Measured } from "../quantity/measured.ts";
import { ok, type Result, refuse } from "../quantity/result.ts";

// a flight plane at half the distance is another set-up: the scale rod belongs where the flight is
const LARGEST_SHARE = 0.5;

/**
 * Scale on a flight plane nearer to the camera than the scale plane, both parallel to the picture: s' = s
 * (1 - dz/Z), since a pixel covers a length in proportion to distance. Left out, lengths and speeds are
 * too large by about dz/Z. u² = (u(s)(1 - dz/Z))² + (s u(dz)/Z)² + (s dz u(Z)/Z²)². Source: pinhole
 * camera; JCGM 100:2008, 5.1.2.
 * @param scale s, m/px, on the scale plane  @param distanceM Z, m, camera to scale plane, > 0
 * @param nearerM dz, m, how much nearer the flight plane is; negative when farther
 * @returns m/px on the flight plane; or "planes-too-far-apart" when |dz| > Z/2, with `nearerM` and `limitM`
 * @throws RangeError on inputs that are not finite, s or Z <= 0, or a u < 0
 */
export function scaleOnFlightPlane(
  scale: Measured,
  distanceM: Measured,
  nearerM: Measured,
): Result<Measured, "planes-too-far-apart"> {
  const inputs = [scale.value, scale.u, distanceM.value, distanceM.u, nearerM.value, nearerM.u];
  const us = [scale.u, distanceM.u, nearerM.u];
  if (
    !inputs.every(Number.isFinite) ||
    !(scale.value > 0) ||
    !(distanceM.value > 0) ||
    us.some((u) => u < 0)
  ) {
    throw new RangeError(`scaleOnFlightPlane: need s, Z > 0 and u >= 0; got ${inputs.join(", ")}`);
  }
  const share = nearerM.value / distanceM.value;
  if (Math.abs(share) > LARGEST_SHARE) {
    return refuse("planes-too-far-apart", {
      nearerM: nearerM.value,
      limitM: LARGEST_SHARE * distanceM.value,
    });
  }
  return ok({
    value: scale.value * (1 - share),
    u: Math.hypot(
      scale.u * (1 - share),
      (scale.value * nearerM.u) / distanceM.value,
      (scale.value * share * distanceM.u) / distanceM.value,
    ),
  });
}
