/** Runs one request at a time; while one runs only the newest waiting request of each key is kept. */
export interface LatestWins<Q> {
  ask(key: string, request: Q): void;
  /** Drops what waits under a key, and ends what runs under it. */
  forget(key: string): void;
  /** Nothing runs and nothing waits. */
  idle(): boolean;
}

export interface LatestWinsParts<Q, A> {
  /** Its signal aborts when nobody wants the answer any more. */
  readonly run: (request: Q, signal: AbortSignal) => Promise<A>;
  readonly onAnswer: (key: string, answer: A, request: Q) => void;
  readonly onError: (key: string, error: unknown, request: Q) => void;
  /** Told that nothing runs and nothing waits any more. */
  readonly onIdle?: () => void;
  /** How long a request may run once a newer one of its key waits, ms from its start. */
  readonly supersededAfterMs: (running: Q, newer: Q) => number;
  readonly later: (run: () => void, ms: number) => () => void;
  readonly nowMs: () => number;
}

interface Running<Q> {
  readonly key: string;
  readonly request: Q;
  readonly startedMs: number;
  readonly stop: AbortController;
  callOff: () => void;
}

/**
 * Makes a queue. An answer is delivered also when a newer request of its key waits already, so that a key
 * that changes without pause still shows how it goes; but what takes longer than it may beside a newer
 * request is ended, and its answer never comes.
 */
export function createLatestWins<Q, A>(parts: LatestWinsParts<Q, A>): LatestWins<Q> {
  const { run, onAnswer, onError, onIdle, supersededAfterMs, later, nowMs } = parts;
  const waiting = new Map<string, Q>();
  let running: Running<Q> | null = null;

  async function drain(): Promise<void> {
    for (let next = first(); next !== null; next = first()) {
      const [key, request] = next;
      waiting.delete(key);
      const now: Running<Q> = {
        key,
        request,
        startedMs: nowMs(),
        stop: new AbortController(),
        callOff: () => {},
      };
      running = now;
      try {
        const answer = await run(request, now.stop.signal);
        if (!now.stop.signal.aborted) onAnswer(key, answer, request);
      } catch (error) {
        if (!now.stop.signal.aborted) onError(key, error, request);
      } finally {
        now.callOff();
      }
    }
    running = null;
    onIdle?.();
  }
  const first = (): [string, Q] | null => waiting.entries().next().value ?? null;

  /** Ends what runs as soon as it has had its time beside the newer request. */
  function supersede(old: Running<Q>, newer: Q): void {
    old.callOff();
    const left = supersededAfterMs(old.request, newer) - (nowMs() - old.startedMs);
    if (left <= 0) old.stop.abort();
    else old.callOff = later(() => old.stop.abort(), left);
  }

  return {
    ask(key, request) {
      waiting.delete(key);
      waiting.set(key, request);
      if (running === null) void drain();
      else if (running.key === key) supersede(running, request);
    },
    forget(key) {
      waiting.delete(key);
      if (running?.key === key) running.stop.abort();
    },
    idle: () => running === null && waiting.size === 0,
  };
}
