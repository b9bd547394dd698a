import { noiseOf, unlikeAround } from "../follow/picture-noise.ts";
import type { SampleGrid } from "../numeric/cubic-spline.ts";

/** A place of a picture with detail along both axes, in samples. */
export interface Corner {
  readonly x: number;
  readonly y: number;
  /** Grey levels squared a sample: the smaller eigenvalue of the mean structure tensor about it. */
  readonly detail: number;
  /** The cell of the grid it lies in. */
  readonly cell: number;
}

/** How the picture is divided, so that corners come from all of it: some 110 samples each way at 1080p. */
export const CELLS = { across: 18, down: 10 } as const;

const STEP = 2; // samples between two places that are looked at
const HALF = 3; // steps: the tensor is the mean over 7 x 7 of them, 13 samples across
const OVER_NOISE = 8; // times what noise alone makes of the tensor's eigenvalues
const LEAST_DETAIL = 4; // grey levels squared; below it the rounding of the levels counts

/**
 * The strongest corner of every cell of the picture: where the smaller eigenvalue of the structure tensor is
 * largest. Cells in which nothing stands out of the noise give none.
 * Source: Shi & Tomasi, CVPR 1994, p. 593 (good features to track).
 * @param margin samples from the picture's edge within which none is taken
 * @param wanted cells to look in, by their number; by default all
 */
export function findCorners(
  image: SampleGrid,
  margin: number,
  wanted: (cell: number) => boolean = () => true,
): readonly Corner[] {
  const { width, height } = image;
  const [columns, rows] = [Math.floor((width - 2) / STEP), Math.floor((height - 2) / STEP)];
  const sums = tensorSums(image, columns, rows);
  const least = Math.max(LEAST_DETAIL, OVER_NOISE * gradientNoise(image));
  const best = new Map<number, Corner>();
  const reach = 2 * HALF + 1;
  for (let row = HALF; row < rows - HALF; row++) {
    const y = 1 + row * STEP;
    if (y < margin || y >= height - margin) continue;
    for (let column = HALF; column < columns - HALF; column++) {
      const x = 1 + column * STEP;
      if (x < margin || x >= width - margin) continue;
      const cell = cellOf(x, y, width, height);
      if (!wanted(cell)) continue;
      const [xx, xy, yy] = sums.map((sum) => boxSum(sum, columns + 1, column - HALF, row - HALF, reach)) as [
        number,
        number,
        number,
      ];
      const smaller = ((xx + yy) / 2 - Math.hypot((xx - yy) / 2, xy)) / reach ** 2;
      if (smaller > least && smaller > (best.get(cell)?.detail ?? 0))
        best.set(cell, { x, y, detail: smaller, cell });
    }
  }
  return [...best.values()];
}

/** The number of the cell that a place lies in. */
export function cellOf(x: number, y: number, width: number, height: number): number {
  const across = Math.min(CELLS.across - 1, Math.max(0, Math.floor((CELLS.across * x) / width)));
  const down = Math.min(CELLS.down - 1, Math.max(0, Math.floor((CELLS.down * y) / height)));
  return down * CELLS.across + across;
}

/** Sums of g_x², g_x g_y and g_y² over everything above and left of a step; [(columns + 1) · (rows + 1)]. */
function tensorSums({ data, width }: SampleGrid, columns: number, rows: number) {
  const stride = columns + 1;
  const [xx, xy, yy] = [0, 1, 2].map(() => new Float64Array(stride * (rows + 1))) as [
    Float64Array,
    Float64Array,
    Float64Array,
  ];
  for (let row = 0; row < rows; row++) {
    let [lineXx, lineXy, lineYy] = [0, 0, 0];
    for (let column = 0; column < columns; column++) {
      const i = (1 + row * STEP) * width + 1 + column * STEP;
      const [gx, gy] = [(data[i + 1] - data[i - 1]) / 2, (data[i + width] - data[i - width]) / 2];
      lineXx += gx * gx;
      lineXy += gx * gy;
      lineYy += gy * gy;
      const at = (row + 1) * stride + column + 1;
      xx[at] = xx[at - stride] + lineXx;
      xy[at] = xy[at - stride] + lineXy;
      yy[at] = yy[at - stride] + lineYy;
    }
  }
  return [xx, xy, yy] as const;
}

function boxSum(sums: Float64Array, stride: number, left: number, top: number, side: number): number {
  const [a, b] = [top * stride + left, (top + side) * stride + left];
  return sums[b + side] - sums[b] - sums[a + side] + sums[a];
}

/** Variance of a central difference that noise alone makes: half of the noise's own. */
function gradientNoise(image: SampleGrid): number {
  const left: number[] = [];
  for (let y = 8; y < image.height - 8; y += 17) {
    for (let x = 8; x < image.width - 8; x += 17) left.push(unlikeAround(image, x, y));
  }
  return noiseOf(left) ** 2 / 2;
}
