/** A grey picture: rows from the top, (0, 0) the top left corner, pixel centres at half integers. */
export interface Grey {
  readonly width: number;
  readonly values: ArrayLike<number>;
}

const SMOOTHING_PX = 1; // a Gaussian this wide passes exp(-2π²) of what repeats every pixel: no aliasing left
const REACH_PX = 4;

/**
 * The point near a place about which the picture within a radius looks the same when turned by half a
 * turn: the middle of a quadrant target. Knows nothing of how the target was drawn. Least sum of
 * squared differences between opposite places of the smoothed picture, searched within 0.5 px in steps
 * of 0.1 px and then of 0.01 px.
 */
export function findMiddle(grey: Grey, near: readonly [number, number], radius: number): [number, number] {
  const coarse = search(grey, near, radius, 0.1, 5);
  return search(grey, coarse, radius, 0.01, 9);
}

function search(
  grey: Grey,
  [x0, y0]: readonly [number, number],
  radius: number,
  step: number,
  reach: number,
): [number, number] {
  let best: [number, number] = [x0, y0];
  let least = Number.POSITIVE_INFINITY;
  for (let i = -reach; i <= reach; i++) {
    for (let j = -reach; j <= reach; j++) {
      const cost = unlikeness(grey, x0 + i * step, y0 + j * step, radius);
      if (cost < least) {
        least = cost;
        best = [x0 + i * step, y0 + j * step];
      }
    }
  }
  return best;
}

function unlikeness(grey: Grey, cx: number, cy: number, radius: number): number {
  const smoothed = lattice(grey, cx, cy, radius);
  const size = 2 * radius + 1;
  let sum = 0;
  for (let y = 0; y <= radius; y++) {
    for (let x = -radius; x <= radius; x++) {
      if (x * x + y * y > radius * radius) continue;
      const [there, opposite] = [(radius + y) * size + radius + x, (radius - y) * size + radius - x];
      sum += (smoothed[there]! - smoothed[opposite]!) ** 2;
    }
  }
  return sum;
}

/**
 * The smoothed picture at whole steps from a place, up to the radius each way: [2
 * radius + 1] rows of as many.
 */
function lattice({ width, values }: Grey, cx: number, cy: number, radius: number): Float64Array {
  const [left, top] = [Math.floor(cx), Math.floor(cy)];
  const weights = (fraction: number) => {
    const w = Array.from({ length: 2 * REACH_PX + 1 }, (_, k) =>
      Math.exp(-((k - REACH_PX + 0.5 - fraction) ** 2) / (2 * SMOOTHING_PX ** 2)),
    );
    const total = w.reduce((a, b) => a + b, 0);
    return w.map((one) => one / total);
  };
  const [wx, wy] = [weights(cx - left), weights(cy - top)];
  const size = 2 * radius + 1;
  const rows = size + 2 * REACH_PX;
  const across = new Float64Array(rows * size);
  for (let row = 0; row < rows; row++) {
    for (let x = 0; x < size; x++) {
      const from = (top - radius - REACH_PX + row) * width + left - radius - REACH_PX + x;
      let sum = 0;
      for (let k = 0; k < wx.length; k++) sum += wx[k]! * values[from + k]!;
      across[row * size + x] = sum;
    }
  }
  const result = new Float64Array(size * size);
  for (let y = 0; y < size; y++) {
    for (let x = 0; x < size; x++) {
      let sum = 0;
      for (let k = 0; k < wy.length; k++) sum += wy[k]! * across[(y + k) * size + x]!;
      result[y * size + x] = sum;
    }
  }
  return result;
}
