import type { PxPoint } from "../quantity/point.ts";

/**
 * The map from the picture to the flight plane: x forward (the way the airframe flies), y up, metres.
 * Origin at the picture's top left corner; only differences matter to motion.
 */
export interface FlightPlane {
  /** [x, y] px -> [x, y] m. */
  toMetres(at: PxPoint): readonly [number, number];
  /** [x, y] m -> [x, y] px: the inverse of toMetres. */
  toPixels(at: readonly [number, number]): PxPoint;
  readonly metresPerPixel: number;
}

/**
 * Similarity map from scale and plumb: true down is (-sin rho, cos rho) in the picture, rho as plumbAngle
 * gives it. A flight to the left is mirrored, so that pitch is positive nose up either way.
 * @throws RangeError unless metresPerPixel > 0 and rollRad is finite
 */
export function flightPlane(
  metresPerPixel: number,
  rollRad: number,
  direction: "right" | "left",
): FlightPlane {
  if (!(metresPerPixel > 0) || !Number.isFinite(metresPerPixel) || !Number.isFinite(rollRad)) {
    throw new RangeError(
      `flightPlane: need a scale > 0 and a finite roll; got ${metresPerPixel}, ${rollRad}`,
    );
  }
  const sin = Math.sin(rollRad);
  const cos = Math.cos(rollRad);
  const way = direction === "right" ? 1 : -1;
  const s = metresPerPixel;
  return {
    metresPerPixel,
    toMetres: ([x, y]) => [way * s * (cos * x + sin * y), s * (sin * x - cos * y)],
    toPixels: ([forward, up]) => {
      const right = (way * forward) / s;
      const down = -up / s;
      return [cos * right - sin * down, sin * right + cos * down];
    },
  };
}
