import { lstat, open } from "node:fs/promises";

const PIECE_BYTES = 2 ** 20;

/**
 * Whether two files hold the same bytes. What is no plain file, or not there, is the same as nothing.
 * @throws what the system says, and the signal's reason
 */
export async function sameContent(a: string, b: string, signal?: AbortSignal): Promise<boolean> {
  const [one, other] = [await bytesOf(a), await bytesOf(b)];
  if (one === null || one !== other) return false;
  const files = await Promise.all([open(a, "r"), open(b, "r")]);
  const [here, there] = [Buffer.alloc(PIECE_BYTES), Buffer.alloc(PIECE_BYTES)];
  try {
    for (let at = 0; at < one; at += PIECE_BYTES) {
      signal?.throwIfAborted();
      const length = Math.min(PIECE_BYTES, one - at);
      const read = await Promise.all([
        files[0].read(here, 0, length, at),
        files[1].read(there, 0, length, at),
      ]);
      if (read.some(({ bytesRead }) => bytesRead < length)) return false; // cut short meanwhile
      if (here.compare(there, 0, length, 0, length) !== 0) return false;
    }
    return true;
  } finally {
    await Promise.all(files.map((file) => file.close()));
  }
}

/** Length of a plain file; null for anything else. */
async function bytesOf(path: string): Promise<number | null> {
  const stats = await lstat(path).catch(() => null);
  return stats?.isFile() ? stats.size : null;
}
