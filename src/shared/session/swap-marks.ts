import type { Mark } from "./schema.ts";

/** Two points of one frame whose marks stand for each other. */
export interface MarkSwap {
  readonly frame: number;
  readonly pointIds: readonly [string, string];
}

/**
 * The marks with both of each swap under the other's point: where they lie, how good they are and who placed
 * them stays with the place.
 * @throws RangeError when one of two is not there, or a mark is to be swapped twice
 */
export function withSwapped(marks: readonly Mark[], swaps: readonly MarkSwap[]): readonly Mark[] {
  const slot = (frame: number, pointId: string) => `${frame} ${pointId}`;
  const placed = new Set(marks.map(({ frame, pointId }) => slot(frame, pointId)));
  const others = new Map<string, string>();
  for (const { frame, pointIds } of swaps) {
    for (const [pointId, other] of [pointIds, [pointIds[1], pointIds[0]]] as const) {
      if (!placed.has(slot(frame, pointId)))
        throw new RangeError(`no mark of "${pointId}" in frame ${frame}`);
      if (others.has(slot(frame, pointId))) {
        throw new RangeError(`the mark of "${pointId}" in frame ${frame} is swapped twice`);
      }
      others.set(slot(frame, pointId), other);
    }
  }
  return marks.map((mark) => {
    const pointId = others.get(slot(mark.frame, mark.pointId));
    return pointId === undefined ? mark : { ...mark, pointId };
  });
}
