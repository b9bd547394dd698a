/**
 * An object whose parts are worked out together when the first of them is asked for, and then stand: for
 * curves, which cost as much as the numbers beside them, where hundreds of shots are measured or predicted
 * for their numbers alone. A spread of what holds it leaves it as it is; a copy, text or a message to
 * another thread has its parts.
 * @param names of the parts that there are
 */
export function whenAsked<T extends object>(names: readonly (keyof T)[], make: () => T): T {
  let asked: (() => T) | null = make;
  let made: T | null = null;
  const parts = (): T => {
    made ??= (asked as () => T)();
    asked = null; // it may hold on to much
    return made;
  };
  const properties = names.map((name) => [name, { enumerable: true, get: () => parts()[name] }]);
  return Object.defineProperties({}, Object.fromEntries(properties)) as T;
}
