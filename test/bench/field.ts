import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { ClipFacts } from "../../src/shared/session/clip-facts.ts";

/** What the parts of the bench share. */
export interface BenchField {
  readonly ffmpegPath: string;
  readonly chromiumPath: string;
  readonly clip: string;
  readonly facts: ClipFacts;
  /** The built page. */
  readonly rendererDir: string;
  readonly rounds: number;
}

/** Runs `work` with a new empty folder, which is gone afterwards. */
export async function inNewFolder<T>(work: (folder: string) => Promise<T>): Promise<T> {
  const folder = await mkdtemp(join(tmpdir(), "loftmark-bench-"));
  try {
    return await work(folder);
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}
