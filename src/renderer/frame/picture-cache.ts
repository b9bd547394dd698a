/** Pictures kept in memory, least recently used out first, within a budget of bytes. */
export interface PictureCache<P> {
  get(key: string): P | undefined;
  has(key: string): boolean;
  put(key: string, picture: P, bytes: number): void;
  clear(): void;
  readonly bytes: () => number;
  readonly size: () => number;
}

/**
 * Makes a cache that holds at most `budgetBytes`. A picture that leaves is handed to `release` once; one that
 * is larger than the whole budget is still kept, alone, because it is on screen.
 * @throws RangeError when the budget is not positive
 */
export function createPictureCache<P>(budgetBytes: number, release: (picture: P) => void): PictureCache<P> {
  if (!(budgetBytes > 0))
    throw new RangeError(`createPictureCache: need a positive budget; got ${budgetBytes}`);
  const kept = new Map<string, { readonly picture: P; readonly bytes: number }>();
  let total = 0;
  const drop = (key: string) => {
    const entry = kept.get(key);
    if (entry === undefined) return;
    kept.delete(key);
    total -= entry.bytes;
    release(entry.picture);
  };
  return {
    get(key) {
      const entry = kept.get(key);
      if (entry === undefined) return undefined;
      kept.delete(key);
      kept.set(key, entry);
      return entry.picture;
    },
    has: (key) => kept.has(key),
    put(key, picture, bytes) {
      drop(key);
      kept.set(key, { picture, bytes });
      total += bytes;
      for (const oldest of kept.keys()) {
        if (total <= budgetBytes || kept.size === 1) break;
        drop(oldest);
      }
    },
    clear() {
      for (const key of [...kept.keys()]) drop(key);
    },
    bytes: () => total,
    size: () => kept.size,
  };
}
