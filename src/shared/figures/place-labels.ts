/** A rectangle in px: left, top, width, height. */
export interface Box {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** Whether two boxes share any area. */
export function overlap(a: Box, b: Box): boolean {
  return a.x < b.x + b.width && b.x < a.x + a.width && a.y < b.y + b.height && b.y < a.y + a.height;
}

/**
 * Sets labels of one column apart: each keeps its place where it can, none is nearer than `gap` to the next,
 * their order stays, and all lie between `low` and `high` if they fit there at all.
 * @param middles wanted y of each label's middle, px  @param gap least distance of neighbours, px
 * @returns y of each label's middle, in the order given
 */
export function spread(
  middles: readonly number[],
  gap: number,
  low: number,
  high: number,
): readonly number[] {
  const order = middles.map((_, i) => i).sort((i, j) => middles[i] - middles[j] || i - j);
  const placed = order.map((i) => Math.min(Math.max(middles[i], low), high));
  // Overlaps are shared between both neighbours; a few sweeps settle the handful of labels a figure has.
  for (let sweep = 0; sweep < 50; sweep++) {
    for (let k = 1; k < placed.length; k++) {
      const lack = gap - (placed[k] - placed[k - 1]);
      if (lack <= 0) continue;
      placed[k - 1] = placed[k - 1] - lack / 2;
      placed[k] = placed[k] + lack / 2;
    }
    for (let k = 0; k < placed.length; k++) {
      placed[k] = Math.min(Math.max(placed[k], low + k * gap), high - (placed.length - 1 - k) * gap);
    }
  }
  const result = [...placed];
  order.forEach((i, k) => {
    result[i] = placed[k];
  });
  return result;
}

/**
 * The first candidate place that lies within `bounds` and touches neither a box nor a point; failing that,
 * the one that touches least, boxes counting most.
 * @param candidates in order of liking, at least one
 */
export function bestPlace(
  candidates: readonly Box[],
  bounds: Box,
  boxes: readonly Box[],
  points: readonly (readonly [number, number])[],
): Box {
  let best = candidates[0];
  let least = Number.POSITIVE_INFINITY;
  for (const box of candidates) {
    const outside =
      box.x < bounds.x ||
      box.y < bounds.y ||
      box.x + box.width > bounds.x + bounds.width ||
      box.y + box.height > bounds.y + bounds.height;
    const hits = points.filter(([x, y]) =>
      overlap(box, { x: x - 2.5, y: y - 2.5, width: 5, height: 5 }),
    ).length;
    const cost = (outside ? 1e6 : 0) + 1e4 * boxes.filter((other) => overlap(box, other)).length + hits;
    if (cost < least) [best, least] = [box, cost];
    if (cost === 0) break;
  }
  return best;
}
