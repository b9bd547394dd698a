/**
 * The element of a list at a place that the caller knows to be in it.
 * @throws RangeError if it is not
 */
export function elementAt<T>(list: ArrayLike<T>, index: number): T {
  if (!(Number.isInteger(index) && index >= 0 && index < list.length)) {
    throw new RangeError(`elementAt: index ${index} is outside a list of ${list.length}`);
  }
  return list[index] as T;
}

/**
 * The last element of a list that the caller knows to have one.
 * @throws RangeError if the list is empty
 */
export function lastOf<T>(list: ArrayLike<T>): T {
  return elementAt(list, list.length - 1);
}

/**
 * What a map holds for a key that the caller knows to be in it.
 * @throws RangeError if it is not
 */
export function entryOf<K, V>(map: ReadonlyMap<K, V>, key: K): V {
  if (!map.has(key)) throw new RangeError(`entryOf: no entry for ${String(key)}`);
  return map.get(key) as V;
}
