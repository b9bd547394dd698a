import type { SampleBox, SampleGrid } from "../numeric/cubic-spline.ts";

/**
 * One grey picture, row by row from the top. Inside this room places are counted in samples: (0, 0) is the
 * middle of the top left pixel, half a pixel less than the session's pixels in each coordinate.
 */
export interface GreyImage extends SampleGrid {
  /**
   * Grey levels on the scale 0 to 255, with fractions where the clip has more than 8 bits; [width · height].
   */
  readonly data: SampleGrid["data"];
}

/** The samples within a reach of a place, as far as the picture goes; null when none of them lies in it. */
export function boxAround(
  { width, height }: Pick<GreyImage, "width" | "height">,
  [x, y]: readonly [number, number],
  reach: number,
): SampleBox | null {
  const left = Math.max(0, Math.floor(x - reach));
  const top = Math.max(0, Math.floor(y - reach));
  const right = Math.min(width - 1, Math.ceil(x + reach));
  const bottom = Math.min(height - 1, Math.ceil(y + reach));
  return left <= right && top <= bottom ? { left, top, right, bottom } : null;
}
