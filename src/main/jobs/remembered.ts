/**
 * Remembers what was computed last: of more than `most` keys the one that was asked for longest ago is
 * forgotten. What is given must not be changed: the next who asks is given the same.
 */
export function createRemembered<T>(most: number): (key: string, compute: () => T) => T {
  const known = new Map<string, T>();
  return (key, compute) => {
    const value = known.has(key) ? (known.get(key) as T) : compute();
    known.delete(key); // and put last
    known.set(key, value);
    for (const oldest of known.keys()) {
      if (known.size <= most) break;
      known.delete(oldest);
    }
    return value;
  };
}
