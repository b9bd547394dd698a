import { cancelled } from "./media-faults.ts";

/** Work that several may wait for; it is given up only when all of them have left. */
export interface SharedWork<T> {
  /**
   * Waits for the result. Aborting the signal leaves at once, as cancelled, and takes
   * nothing from the others.
   */
  join(signal: AbortSignal | undefined): Promise<T>;
  /** True once nobody waits any more and the work was told to stop: a newcomer must start it afresh. */
  readonly abandoned: boolean;
}

/** Starts `work`; its signal aborts when the last one waiting has left before the end. */
export function shareWork<T>(work: (signal: AbortSignal) => Promise<T>): SharedWork<T> {
  const controller = new AbortController();
  const result = work(controller.signal);
  let settled = false;
  // Those who joined get a failure; without any there is nobody to tell.
  result
    .catch(() => undefined)
    .finally(() => {
      settled = true;
    });
  let waiting = 0;
  return {
    get abandoned() {
      return controller.signal.aborted;
    },
    async join(signal) {
      if (signal?.aborted) throw cancelled();
      waiting++;
      let leave = () => {};
      const left = new Promise<never>((_, reject) => {
        leave = () => reject(cancelled());
      });
      signal?.addEventListener("abort", leave, { once: true });
      try {
        return await Promise.race([result, left]);
      } finally {
        signal?.removeEventListener("abort", leave);
        waiting--;
        if (waiting === 0 && !settled) controller.abort();
      }
    },
  };
}
