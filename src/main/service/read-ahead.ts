/** Gives what another gives, the next one always being asked for while one is worked on. */
export async function* readAhead<T>(source: AsyncIterable<T>): AsyncGenerator<T, void, void> {
  const from = source[Symbol.asyncIterator]();
  let next = from.next();
  try {
    for (;;) {
      const { done, value } = await next;
      if (done === true) return;
      next = from.next();
      next.catch(() => undefined); // told where it is waited for
      yield value;
    }
  } finally {
    await next.catch(() => undefined);
    await from.return?.();
  }
}
