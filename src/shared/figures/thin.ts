/**
 * Leaves out points too close to the last one kept to be told from it on paper, so that a clip of thousands
 * of frames makes no larger a figure than one of hundreds. The first and last points and every gap stay.
 * @param placesOf px of a point: x and one or more y  @param leastPx how far one of them must move
 */
export function thinned<T>(
  points: readonly T[],
  placesOf: (point: T) => readonly number[],
  leastPx: number,
): readonly T[] {
  let last: readonly number[] | null = null;
  return points.filter((point, i) => {
    const places = placesOf(point);
    const isGap = !places.every(Number.isFinite);
    const moved = last === null || places.some((px, k) => Math.abs(px - last![k]) >= leastPx);
    if (!isGap && !moved && i < points.length - 1) return false;
    last = isGap ? null : places;
    return true;
  });
}
