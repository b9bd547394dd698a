/** The middle of some numbers; of two middles their mean; 0 of none. */
export function medianOf(values: readonly number[]): number {
  return quantileOf(values, 0.5);
}

/** The number below which a share of the others lie, straight between two of them; 0 of none. */
export function quantileOf(values: readonly number[], share: number): number {
  if (values.length === 0) return 0;
  const sorted = [...values].sort((a, b) => a - b);
  const at = share * (sorted.length - 1);
  const below = Math.floor(at);
  const above = Math.min(below + 1, sorted.length - 1);
  return sorted[below] + (at - below) * (sorted[above] - sorted[below]);
}
