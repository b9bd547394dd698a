import { Worker } from "node:worker_threads";
import { FaultError } from "../../shared/quantity/notice.ts";
import type { FromThread, ThreadError, ToThread } from "./heavy-task.ts";

/** How one message to a thread is waited for. */
export interface Asking {
  readonly signal?: AbortSignal | undefined;
  readonly onFraction?: ((fraction: number) => void) | undefined;
  /** Ends the wait, and the thread with it, after so long without a sign of life, ms. */
  readonly patienceMs?: number | undefined;
}

/** One thread, asked one thing at a time. */
export interface Thread {
  /** True once it was ended or has ended by itself: a new one must be started. */
  readonly ended: boolean;
  /**
   * Asks, and waits for the answer. When the signal aborts the thread is ended in the middle of what it does.
   * @throws the signal's reason once aborted; OutOfPatience; what the work threw; Error when
   *   the thread ended by itself
   */
  ask(message: ToThread, asking?: Asking): Promise<unknown>;
  end(): Promise<void>;
}

/** Heavy work gave no sign of life for longer than it was given. */
export class OutOfPatience extends Error {
  readonly afterMs: number;
  constructor(afterMs: number) {
    super(`no answer within ${afterMs} ms`);
    this.name = "OutOfPatience";
    this.afterMs = afterMs;
  }
}

interface Waiting {
  readonly answered: (answer: FromThread) => void;
  readonly lost: (error: unknown) => void;
}

/**
 * Starts a thread on a file. An idle one does not keep the process alive.
 * @param later calls back after so many ms unless the function it returns is called before
 */
export function startThread(file: string, later: (run: () => void, ms: number) => () => void): Thread {
  const worker = new Worker(file);
  let waiting: Waiting | null = null;
  let ended = false;
  /** Why the thread was ended, where that was on purpose. */
  let reason: unknown;
  const lose = (error: Error) => {
    ended = true;
    waiting?.lost(reason ?? error);
  };
  worker.on("message", (answer: FromThread) => waiting?.answered(answer));
  worker.on("error", lose);
  worker.on("exit", () => lose(new Error("a thread ended before its work was done")));
  worker.unref(); // after the listeners, since the one for messages makes the process wait for the thread

  async function end(): Promise<void> {
    ended = true;
    await worker.terminate();
  }

  return {
    get ended() {
      return ended;
    },
    end,
    async ask(message, { signal, onFraction, patienceMs } = {}) {
      signal?.throwIfAborted();
      if (waiting !== null) throw new RangeError("startThread: asked while it still works on something else");
      worker.ref();
      let restless = () => {};
      let abort = () => {};
      try {
        return await new Promise((resolve, reject) => {
          const endWith = (why: unknown) => {
            reason = why;
            void end(); // what waits is lost once the thread is gone
          };
          const watch = () => {
            restless();
            if (patienceMs === undefined) return;
            restless = later(() => endWith(new OutOfPatience(patienceMs)), patienceMs);
          };
          abort = () => endWith(signal?.reason);
          signal?.addEventListener("abort", abort, { once: true });
          waiting = {
            lost: reject,
            answered(answer) {
              if (ended) return;
              if (answer.kind === "given") return resolve(answer.value);
              if (answer.kind === "failed") return reject(thrownThere(answer.error));
              watch();
              onFraction?.(answer.fraction);
            },
          };
          watch();
          worker.postMessage(message);
        });
      } finally {
        restless();
        signal?.removeEventListener("abort", abort);
        waiting = null;
        if (!ended) worker.unref();
      }
    },
  };
}

function thrownThere({ message, stack, fault }: ThreadError): Error {
  if (fault !== null) return new FaultError(fault.code, fault.cause, fault.remedy);
  const error = new Error(message);
  error.stack = stack;
  return error;
}
