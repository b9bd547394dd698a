import { area, line, type Place, type Shape } from "./sketch.ts";

/**
 * An airframe from the side, nose ahead, standing for any.
 * @param length from tail to nose; the place before it is the middle of the body
 */
export function airframeShapes([x, y]: Place, length: number): readonly Shape[] {
  const at = (along: number, up: number): Place => [x + along * length, y + up * length];
  return [
    // the fin first: the body covers its foot
    area(at(-0.48, 0.02), at(-0.5, 0.2), at(-0.4, 0.2), at(-0.3, 0.04)),
    area(
      at(-0.5, 0.02),
      at(-0.2, 0.075),
      at(0.28, 0.075),
      at(0.45, 0.035),
      at(0.5, 0),
      at(0.45, -0.035),
      at(0.28, -0.065),
      at(-0.2, -0.065),
      at(-0.5, -0.02),
    ),
    line(at(-0.14, 0.01), at(0.18, 0.02)),
  ];
}
