import { createHash } from "node:crypto";
import { open } from "node:fs/promises";
import { basename } from "node:path";
import type { ClipFacts } from "../../shared/session/clip-facts.ts";
import { clipChanged, clipState, readingFault } from "./media-faults.ts";

const SAMPLE_BYTES = 1 << 20; // first and last MB: header, index and the first or last pictures of any container
const FORMAT = "frames 1"; // raised when what lies in the cache changes its meaning

/**
 * Names the cache folder of a clip by what the clip is, not where it lies: name, size, first and last megabyte, and
 * the facts that decide which picture belongs to an index. A folder carried to another disk finds its frames again.
 */
export interface ClipIdentity {
  /** @throws FaultError clip-missing, clip-unreadable, clip-empty; clip-changed when its size is not that of the facts */
  keyOf(path: string, facts: ClipFacts): Promise<string>;
}

export function createClipIdentity(): ClipIdentity {
  const files = new Map<string, { readonly stamp: string; readonly hash: string }>();
  const factsSeen = new WeakMap<ClipFacts, string>();
  return {
    async keyOf(path, facts) {
      const state = await clipState(path);
      if (state.bytes !== facts.bytes) throw clipChanged(basename(path));
      const stamp = `${state.bytes} ${state.modifiedMs}`;
      let file = files.get(path);
      if (file?.stamp !== stamp) {
        file = { stamp, hash: await hashOfFile(path, state.bytes) };
        files.set(path, file);
      }
      const print = factsSeen.get(facts) ?? hashOfFacts(facts);
      factsSeen.set(facts, print);
      return createHash("sha256").update(`${FORMAT} ${file.hash} ${print}`).digest("hex").slice(0, 32);
    },
  };
}

function hashOfFacts({ pts, timeBase, pixelAspect, rotationDeg, width, height }: ClipFacts): string {
  const what = JSON.stringify([timeBase, pixelAspect, rotationDeg, width, height, pts]);
  return createHash("sha256").update(what).digest("hex");
}

async function hashOfFile(path: string, bytes: number): Promise<string> {
  const hash = createHash("sha256").update(JSON.stringify([basename(path), bytes]));
  try {
    const file = await open(path, "r");
    try {
      for (const start of [0, Math.max(0, bytes - SAMPLE_BYTES)]) {
        const { buffer, bytesRead } = await file.read(Buffer.alloc(SAMPLE_BYTES), 0, SAMPLE_BYTES, start);
        hash.update(buffer.subarray(0, bytesRead));
      }
    } finally {
      await file.close();
    }
  } catch (error) {
    throw readingFault(path, error);
  }
  return hash.digest("hex");
}
