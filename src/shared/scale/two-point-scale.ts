import type { Measured } from "../quantity/measured.ts";
import type { PxPoint } from "../quantity/point.ts";
import { ok, type Result, refuse } from "../quantity/result.ts";

const NEEDED_IN_U = 10; // at d = 10 u(d) the linear law understates u by 3 % (simulated); nearer, it is worse

/**
 * Metres per pixel from the two picked ends of a rod: s = L/d, d = |b - a|.
 * Independent inputs: (u(s)/s)² = (u(L)/L)² + 2 (uPx/d)². Source: JCGM 100:2008 (GUM), 5.1.2, eq. 10.
 * @param a,b [x, y], px, square pixels, distortion removed
 * @param rodM L, m
 * @param uPx u of each coordinate, px
 * @returns s, m/px; or the refusal "too-close" when d <= 10 u(d), naming the separation that would do
 * @throws RangeError if an input is not finite, L <= 0 or a u < 0: the caller's bug, not the person's data
 */
export function twoPointScale(
  a: PxPoint,
  b: PxPoint,
  rodM: Measured,
  uPx: number,
): Result<Measured, "too-close"> {
  const inputs = [...a, ...b, rodM.value, rodM.u, uPx];
  if (!inputs.every(Number.isFinite) || rodM.value <= 0 || rodM.u < 0 || uPx < 0) {
    throw new RangeError(`twoPointScale: need finite inputs, L > 0, u >= 0; got ${inputs.join(", ")}`);
  }
  const separationPx = Math.hypot(b[0] - a[0], b[1] - a[1]);
  const uSeparation = Math.SQRT2 * uPx;
  if (separationPx <= NEEDED_IN_U * uSeparation) {
    return refuse("too-close", { separationPx, neededPx: NEEDED_IN_U * uSeparation });
  }
  const value = rodM.value / separationPx;
  return ok({ value, u: value * Math.hypot(rodM.u / rodM.value, uSeparation / separationPx) });
}
