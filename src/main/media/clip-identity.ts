import { createHash } from "node:crypto";
import { basename } from "node:path";
import type { ClipFacts } from "../../shared/session/clip-facts.ts";
import type { ClipFingerprints } from "./clip-fingerprint.ts";
import { stampOf } from "./file-stamp.ts";
import { clipChanged, clipState, readingFault } from "./media-faults.ts";

const SHORT_BYTES = 16e6; // read and hashed in some 20 ms: nobody notices, and its frames lie where they stay
const FORMAT = "frames 2"; // raised when what lies in the cache changes its meaning

/** What the cache calls a clip. */
export interface ClipName {
  readonly key: string;
  /**
   * Whether the key is of the whole content; else of this state of this file, until all of it has been read.
   */
  readonly settled: boolean;
}

/**
 * Names the cache folder of a clip by what the clip is: the fingerprint of its whole content, and the facts
 * that decide which picture belongs to an index. A folder carried to another disk finds its frames again, and
 * a clip copied again without its damage does not find the damaged ones. Nobody waits for the fingerprint of
 * a long clip: until it is known, frames lie under a key of the file's path, size, times and number, which
 * any writing to the file changes; `settle` has them found under the other key after that.
 */
export interface ClipIdentity {
  /**
   * @throws FaultError clip-missing, clip-unreadable, clip-empty; clip-changed when its size
   *   is not that of the facts
   */
  nameOf(path: string, facts: ClipFacts): Promise<ClipName>;
  /**
   * Reads the whole clip unless it was read before, and gives both keys.
   * @throws FaultError as ClipFingerprints.of does
   */
  settle(
    path: string,
    facts: ClipFacts,
    signal: AbortSignal,
  ): Promise<{ readonly from: string; readonly to: string }>;
}

export function createClipIdentity(fingerprints: ClipFingerprints): ClipIdentity {
  const factsSeen = new WeakMap<ClipFacts, string>();

  function keyOf(content: string, facts: ClipFacts): string {
    const print = factsSeen.get(facts) ?? hashOfFacts(facts);
    factsSeen.set(facts, print);
    return createHash("sha256").update(`${FORMAT} ${content} ${print}`).digest("hex").slice(0, 32);
  }

  async function fileAt(path: string, facts: ClipFacts) {
    const state = await clipState(path);
    if (state.bytes !== facts.bytes) throw clipChanged(basename(path));
    const { text, bytes, modifiedMs } = await stampOf(path).catch((error: unknown) => {
      throw readingFault(path, error);
    });
    return { clip: { path, bytes, modifiedMs }, untilRead: keyOf(`${path} ${text}`, facts) };
  }

  return {
    async nameOf(path, facts) {
      const { clip, untilRead } = await fileAt(path, facts);
      const short = clip.bytes <= SHORT_BYTES;
      // A clip that is still being written has no fingerprint yet; its frames of now can
      // be looked at all the same.
      const fingerprint = await (short ? fingerprints.of(clip).catch(() => null) : fingerprints.known(clip));
      return fingerprint === null
        ? { key: untilRead, settled: false }
        : { key: keyOf(fingerprint, facts), settled: true };
    },
    async settle(path, facts, signal) {
      const { clip, untilRead } = await fileAt(path, facts);
      return { from: untilRead, to: keyOf(await fingerprints.of(clip, { signal }), facts) };
    },
  };
}

function hashOfFacts({ pts, timeBase, pixelAspect, rotationDeg, width, height }: ClipFacts): string {
  const what = JSON.stringify([timeBase, pixelAspect, rotationDeg, width, height, pts]);
  return createHash("sha256").update(what).digest("hex");
}
