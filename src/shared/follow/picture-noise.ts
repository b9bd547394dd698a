import type { SampleGrid } from "../numeric/cubic-spline.ts";

const QUARTILE = 0.3186; // of |x| of a standard normal

/**
 * What the mask [1 -2 1; -2 4 -2; 1 -2 1] leaves of a sample, over the mask's norm of 6: nothing of planes
 * and little of edges, and of noise a number of its own size. Source: Immerkær, Comput. Vis. Image
 * Underst. 64:300 (1996).
 * @returns grey levels, without its sign; the sample must not lie at the picture's edge
 */
export function unlikeAround({ data, width }: SampleGrid, x: number, y: number): number {
  let sum = 0;
  for (let b = -1; b <= 1; b++) {
    for (let a = -1; a <= 1; a++) {
      sum += (a === 0 ? -2 : 1) * (b === 0 ? -2 : 1) * data[(y + b) * width + x + a];
    }
  }
  return Math.abs(sum) / 6;
}

/**
 * Standard deviation of the noise, grey levels, from what the mask left of many samples: by their lower
 * quartile, which detail moves least.
 */
export function noiseOf(left: number[]): number {
  left.sort((a, b) => a - b);
  return (left[Math.floor(left.length / 4)] ?? 0) / QUARTILE;
}
