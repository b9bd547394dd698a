import { cancelled } from "./media-faults.ts";

/** Runs `work` as soon as fewer than n others run; urgent work goes before waiting work that is not. */
export type Limit = <T>(
  urgent: boolean,
  signal: AbortSignal | undefined,
  work: () => Promise<T>,
) => Promise<T>;

interface Waiting {
  readonly urgent: boolean;
  readonly go: () => void;
}

/**
 * A gate that lets at most `most` pieces of work run at the same time, first come first served within a
 * class. Work whose signal aborts while waiting never starts and rejects as cancelled.
 */
export function createLimit(most: number): Limit {
  let running = 0;
  const queue: Waiting[] = [];

  function turn(urgent: boolean, signal: AbortSignal | undefined): Promise<void> {
    if (signal?.aborted) return Promise.reject(cancelled());
    if (running < most) {
      running++;
      return Promise.resolve();
    }
    return new Promise((resolve, reject) => {
      const leave = () => {
        queue.splice(queue.indexOf(entry), 1);
        reject(cancelled());
      };
      const entry: Waiting = {
        urgent,
        go: () => {
          signal?.removeEventListener("abort", leave);
          resolve();
        },
      };
      const firstCalm = queue.findIndex((one) => !one.urgent);
      queue.splice(urgent && firstCalm >= 0 ? firstCalm : queue.length, 0, entry);
      signal?.addEventListener("abort", leave, { once: true });
    });
  }

  return async (urgent, signal, work) => {
    await turn(urgent, signal);
    try {
      return await work();
    } finally {
      // The place is handed on without being freed, so that a newcomer cannot slip in between.
      const next = queue.shift();
      if (next === undefined) running--;
      else next.go();
    }
  };
}
