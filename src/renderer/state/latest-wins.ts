/** Runs one request at a time; while one runs only the newest waiting request of each key is kept. */
export interface LatestWins<Q> {
  ask(key: string, request: Q): void;
  /** Nothing runs and nothing waits. */
  idle(): boolean;
}

/**
 * Makes a queue over `run`. An answer is delivered only if no newer request of its key waits, except that a key which
 * changes without pause still gets answers: the running one is delivered when it ends, being the newest there is.
 */
export function createLatestWins<Q, A>(
  run: (request: Q) => Promise<A>,
  onAnswer: (key: string, answer: A) => void,
  onError: (key: string, error: unknown) => void,
): LatestWins<Q> {
  const waiting = new Map<string, Q>();
  let running = false;

  async function drain(): Promise<void> {
    running = true;
    for (let next = first(); next !== null; next = first()) {
      const [key, request] = next;
      waiting.delete(key);
      try {
        onAnswer(key, await run(request));
      } catch (error) {
        onError(key, error);
      }
    }
    running = false;
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
