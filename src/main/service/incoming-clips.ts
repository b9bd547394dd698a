import { FaultError } from "../../shared/quantity/notice.ts";
import { mustBeBytes } from "./replies.ts";

type Content = AsyncIterable<Uint8Array>;

/** Clips that windows send: each is awaited by a job, and its bytes come in a request of their own. */
export interface IncomingClips {
  /** A place for the content of one clip. */
  expect(name: string): ExpectedClip;
  /**
   * Hands a request's body to the job that waits for it, and waits until the job is done with it.
   * @throws FaultError "no-such-job" where none waits, "bad-request" for a body that is not plain bytes
   */
  deliver(jobId: string, request: Request): Promise<Readonly<Record<string, never>>>;
}

export interface ExpectedClip {
  /** From now on the content can be delivered under the job's id. */
  awaitedBy(jobId: string): void;
  /** The content once it comes. @throws FaultError "not-read" when nothing comes; the signal's reason */
  content(signal: AbortSignal): Promise<Content>;
  /** The job has ended, whatever the outcome. */
  done(): void;
}

const DROP_AGAIN = "Drop the clip on the window again.";
const PATIENCE_MS = 60_000; // a window sends at once; one that was closed never does

/** @param patience resolves when a content that has not begun to come will never do */
export function createIncomingClips(
  patience: () => Promise<unknown> = () => new Promise((resolve) => setTimeout(resolve, PATIENCE_MS).unref()),
): IncomingClips {
  const waiting = new Map<string, (request: Request) => Promise<void>>();
  return {
    expect(name) {
      const coming = open<Content>();
      const ended = open<void>();
      let awaited: string | null = null;
      let over = false;
      return {
        awaitedBy(jobId) {
          if (over) return;
          awaited = jobId;
          waiting.set(jobId, (request) => {
            waiting.delete(jobId); // a content comes once
            coming.settle(piecesOf(name, request));
            return ended.promise;
          });
        },
        async content(signal) {
          signal.throwIfAborted();
          const stopped = open<never>();
          const stop = () => stopped.fail(signal.reason);
          signal.addEventListener("abort", stop, { once: true });
          try {
            const never = patience().then(() => null);
            const content = await Promise.race([coming.promise, stopped.promise, never]);
            if (content === null) throw notSent(name);
            return content;
          } finally {
            signal.removeEventListener("abort", stop);
          }
        },
        done() {
          over = true;
          if (awaited !== null) waiting.delete(awaited);
          ended.settle();
        },
      };
    },
    async deliver(jobId, request) {
      const take = waiting.get(jobId);
      if (take === undefined)
        throw new FaultError("no-such-job", "No job waits for a clip here.", DROP_AGAIN);
      mustBeBytes(request);
      await take(request);
      return {};
    },
  };
}

/** A promise that is settled from outside. */
function open<T>() {
  let settle: (value: T) => void = () => {};
  let fail: (reason: unknown) => void = () => {};
  const promise = new Promise<T>((resolve, reject) => {
    settle = resolve;
    fail = reject;
  });
  return { promise, settle, fail };
}

/** The body in its pieces; where it breaks off, the window or its connection is gone. */
async function* piecesOf(name: string, { body }: Request): Content {
  try {
    for await (const piece of (body ?? []) as Content) yield piece;
  } catch {
    throw new FaultError(
      "clip-cut-off",
      `The window stopped sending ${name}, so nothing was added.`,
      DROP_AGAIN,
    );
  }
}

function notSent(name: string): FaultError {
  return new FaultError("not-read", `The window did not send ${name}, so nothing was added.`, DROP_AGAIN);
}
