import { createHash } from "node:crypto";
import { mkdir, readFile } from "node:fs/promises";
import { join } from "node:path";
import { type ClipFacts, ClipFactsSchema } from "../../shared/session/clip-facts.ts";
import type { Media, MediaOptions } from "../media/media.ts";
import { writeAtomically } from "../store/atomic-write.ts";
import type { FoundClip } from "../store/field-folder.ts";

const EDITION = 1; // raise when inspection comes to read more from the same file

/** Gives the facts of a clip, asking ffmpeg only once for each content of the file. */
export type FactsOf = (clip: FoundClip, options?: MediaOptions) => Promise<ClipFacts>;

/**
 * Keeps facts in memory and in the cache directory, under the clip's path, size and time of change: another content
 * is inspected anew. Several questions at once about one clip share one inspection, except those that can be stopped.
 */
export function createFactsCache(media: Pick<Media, "inspect">, cacheDir: string): FactsOf {
  const known = new Map<string, Promise<ClipFacts>>();
  const directory = join(cacheDir, "facts");

  async function load(clip: FoundClip, file: string, options?: MediaOptions): Promise<ClipFacts> {
    const kept = await readKept(file);
    if (kept !== null) return kept;
    const facts = await media.inspect(clip.path, options);
    await mkdir(directory, { recursive: true })
      .then(() => writeAtomically(file, JSON.stringify(facts)))
      // A cache that cannot be written (full disk) costs time at the next start, nothing else.
      .catch(() => {});
    return facts;
  }

  return async (clip, options) => {
    const key = createHash("sha256")
      .update(JSON.stringify([EDITION, clip.path, clip.bytes, clip.modifiedMs]))
      .digest("hex");
    const loading = known.get(key) ?? load(clip, join(directory, `${key.slice(0, 40)}.json`), options);
    if (options?.signal === undefined) known.set(key, loading);
    loading.then(
      () => known.set(key, loading),
      () => known.get(key) === loading && known.delete(key),
    );
    // One file may be reached by two names (a link): the facts bear the name that was asked for.
    return { ...(await loading), name: clip.name };
  };
}

async function readKept(file: string): Promise<ClipFacts | null> {
  try {
    return ClipFactsSchema.parse(JSON.parse(await readFile(file, "utf8")));
  } catch {
    return null; // Not there, or of another edition: inspect again.
  }
}
