/** A pick, or several of one u, that may have been carried over from another shot. */
interface Carried {
  readonly uPx: number;
  readonly carried?: { readonly uPx: number } | undefined;
}

/**
 * px, u of the part of a pick's error that it has in common with the shot it was carried over from, where a
 * hand placed it; all of its u where it was not carried over.
 */
export function sharedUPx({ uPx, carried }: Carried): number {
  return carried === undefined ? uPx : Math.min(uPx, carried.uPx);
}

/** px, u of what finding it again in this shot's own clip adds; 0 where it was not carried over. */
export function ownUPx(pick: Carried): number {
  return Math.sqrt(Math.max(0, pick.uPx ** 2 - sharedUPx(pick) ** 2));
}

/**
 * Picks changed together with what they were carried over from: an error of the one is the error of both.
 * @param change of the places, made to either
 */
export function inBoth<P extends object, T extends P & { readonly carried?: P | undefined }>(
  one: T,
  change: (places: P) => Partial<P>,
): T {
  const { carried } = one;
  if (carried === undefined) return { ...one, ...change(one) };
  return { ...one, ...change(one), carried: { ...carried, ...change(carried) } };
}

/**
 * What was picked by hand, as the shot holds it that it was picked in: the frame apart, which names no
 * error.
 */
export function asFirstPicked<T extends Carried>(pick: T | null): object | null {
  if (pick === null) return null;
  const { carried, aFrame, bFrame, topFrame, bottomFrame, leftFrame, rightFrame, snapped, ...rest } =
    pick as T & Readonly<Record<string, unknown>>;
  return { ...rest, ...carried };
}
