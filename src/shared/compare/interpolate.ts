/**
 * Linear interpolation in a table.
 * @param x [n], strictly increasing, n >= 1  @param y [n]
 * @returns y at `at`; the end values outside
 */
export function interpolate(x: readonly number[], y: readonly number[], at: number): number {
  let [low, high] = [0, x.length - 1];
  if (at <= x[low]) return y[low];
  if (at >= x[high]) return y[high];
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (x[middle] <= at) low = middle;
    else high = middle;
  }
  const part = (at - x[low]) / (x[high] - x[low]);
  return y[low] + part * (y[high] - y[low]);
}
