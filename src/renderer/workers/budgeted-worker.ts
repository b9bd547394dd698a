/** A computation was ended because it had used up its time. */
export class OutOfTime extends Error {
  readonly afterMs: number;
  constructor(afterMs: number) {
    super(`it was stopped after ${Math.round(afterMs / 1000)} s without a result`);
    this.name = "OutOfTime";
    this.afterMs = afterMs;
  }
}

/** ms that one computation of the window may take; the hardest shots take a tenth of it on a slow machine. */
export const BUDGET_MS = 20_000;

/** The part of the browser's Worker that is used. */
export interface PageWorker {
  onmessage: ((event: MessageEvent) => void) | null;
  onerror: ((event: ErrorEvent) => void) | null;
  postMessage(message: unknown): void;
  terminate(): void;
}

export interface BudgetedSetup {
  readonly make: () => PageWorker;
  readonly budgetMs?: number;
  readonly later?: (run: () => void, ms: number) => () => void;
}

/** A worker that is asked one thing at a time and answers each with one message. */
export interface BudgetedWorker<Q, A> {
  /**
   * @param message what is sent; told whether it goes to a worker that has just been started,
   *   and so remembers nothing
   * @throws OutOfTime when it was not answered in its time, the signal's reason once aborted,
   *   Error when the worker fails
   */
  ask(message: (startedAfresh: boolean) => Q, signal?: AbortSignal): Promise<A>;
  /** Ends the worker; what it works on is lost. */
  close(): void;
}

/**
 * Makes a worker that is ended when it takes too long or is not wanted any more, and started
 * again for the next question.
 */
export function createBudgetedWorker<Q, A>({
  make,
  budgetMs = BUDGET_MS,
  later = afterMs,
}: BudgetedSetup): BudgetedWorker<Q, A> {
  let worker: PageWorker | null = null;
  function end(): void {
    worker?.terminate();
    worker = null;
  }
  return {
    close: end,
    async ask(message, signal) {
      signal?.throwIfAborted();
      const startedAfresh = worker === null;
      worker ??= make();
      const asked = worker;
      let settle = () => {};
      try {
        return await new Promise<A>((resolve, reject) => {
          const endWith = (error: unknown) => {
            end();
            reject(error);
          };
          const callOff = later(() => endWith(new OutOfTime(budgetMs)), budgetMs);
          const abort = () => endWith(signal?.reason);
          signal?.addEventListener("abort", abort);
          settle = () => {
            callOff();
            signal?.removeEventListener("abort", abort);
          };
          asked.onmessage = ({ data }: MessageEvent<A>) => resolve(data);
          asked.onerror = (event) => endWith(new Error(event.message || "the worker did not start"));
          asked.postMessage(message(startedAfresh));
        });
      } finally {
        settle();
      }
    },
  };
}

function afterMs(run: () => void, ms: number): () => void {
  const timer = setTimeout(run, ms);
  return () => clearTimeout(timer);
}
