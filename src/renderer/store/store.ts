import { useSyncExternalStore } from "react";

/** A value that changes over time, and those who want to know when. */
export interface Store<S> {
  get(): S;
  /** Replaces the value; listeners are told unless it is the same object. */
  set(next: S): void;
  /** @returns the function that ends the subscription */
  subscribe(listener: () => void): () => void;
}

/** Makes a store that holds `initial`. */
export function createStore<S>(initial: S): Store<S> {
  let value = initial;
  const listeners = new Set<() => void>();
  return {
    get: () => value,
    set(next) {
      if (Object.is(next, value)) return;
      value = next;
      for (const listener of [...listeners]) listener();
    },
    subscribe(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
  };
}

/**
 * Follows a part of a store in a component; `select` must give the same object while the part is unchanged.
 */
export function useStore<S, T>(store: Store<S>, select: (state: S) => T): T {
  return useSyncExternalStore(store.subscribe, () => select(store.get()));
}
