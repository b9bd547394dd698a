/** Runs one request at a time; while one runs only the newest waiting request of each key is kept. */
export interface LatestWins<Q> {
  ask(key: string, request: Q): void;
  /** Nothing runs and nothing waits. */
  idle(): boolean;
}

/**
 * Makes a queue over `run`. Every answer is delivered, also when a newer request of its key waits already: a key that
 * changes without pause still shows how it goes. `onIdle` tells that nothing runs and nothing waits any more.
 */
export function createLatestWins<Q, A>(
  run: (request: Q) => Promise<A>,
  onAnswer: (key: string, answer: A, request: Q) => void,
  onError: (key: string, error: unknown) => void,
  onIdle: () => void = () => {},
): LatestWins<Q> {
  const waiting = new Map<string, Q>();
  let running = false;

  async function drain(): Promise<void> {
    running = true;
    for (let next = first(); next !== null; next = first()) {
      const [key, request] = next;
      waiting.delete(key);
      try {
        onAnswer(key, await run(request), request);
      } catch (error) {
        onError(key, error);
      }
    }
    running = false;
    onIdle();
  }
  const first = (): [string, Q] | null => waiting.entries().next().value ?? null;

  return {
    ask(key, request) {
      waiting.delete(key);
      waiting.set(key, request);
      if (!running) void drain();
    },
    idle: () => !running && waiting.size === 0,
  };
}
