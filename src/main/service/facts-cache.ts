import { createHash } from "node:crypto";
import { mkdir, readFile } from "node:fs/promises";
import { join } from "node:path";
import { type ClipFacts, ClipFactsSchema } from "../../shared/session/clip-facts.ts";
import { type ClipFingerprints, fingerprintsOfProcess } from "../media/clip-fingerprint.ts";
import { stampOf } from "../media/file-stamp.ts";
import type { Media, MediaOptions, Progress } from "../media/media.ts";
import { type SharedWork, shareWork } from "../media/shared-work.ts";
import { writeAtomically } from "../store/atomic-write.ts";
import type { FoundClip } from "../store/field-folder.ts";
import type { CameraLooks } from "./camera-looks.ts";

const EDITION = 2; // raise when inspection comes to read more from the same file

/** Gives the facts of a clip, asking ffmpeg only once for each content of the file. */
export interface FactsOf {
  (clip: FoundClip, options?: MediaOptions): Promise<ClipFacts>;
  /** Tells another content under the same name, which would have other facts and other frames. */
  readonly fingerprints: ClipFingerprints;
  /** Looks whether a clip's camera moved; left out where nobody measures. */
  readonly looks?: CameraLooks;
}

/**
 * Keeps facts in memory and in the cache directory, under the clip's path, size, times and number of the file
 * (see stampOf): another content is inspected again. Several questions at once about one clip share one
 * inspection, which stops when all have let go.
 */
export function createFactsCache(
  media: Pick<Media, "inspect">,
  cacheDir: string,
  looks?: CameraLooks,
): FactsOf {
  const known = new Map<string, ClipFacts>();
  const loading = new Map<string, Loading>();
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

  return Object.assign(factsOf, {
    fingerprints: fingerprintsOfProcess(cacheDir),
    ...(looks && { looks }),
  });

  async function factsOf(clip: FoundClip, options?: MediaOptions): Promise<ClipFacts> {
    const key = createHash("sha256")
      .update(JSON.stringify([EDITION, clip.path, await stampTextOf(clip)]))
      .digest("hex");
    const facts = known.get(key) ?? (await joined(key, clip, options));
    // One file may be reached by two names (a link): the facts bear the name that was asked for.
    return { ...facts, name: clip.name };
  }

  async function joined(key: string, clip: FoundClip, options: MediaOptions | undefined): Promise<ClipFacts> {
    const now = loading.get(key);
    const shared = now === undefined || now.work.abandoned ? started(key, clip) : now;
    if (options?.onProgress !== undefined) shared.watchers.add(options.onProgress);
    try {
      return await shared.work.join(options?.signal);
    } finally {
      if (options?.onProgress !== undefined) shared.watchers.delete(options.onProgress);
    }
  }

  function started(key: string, clip: FoundClip): Loading {
    const watchers = new Set<(progress: Progress) => void>();
    const work = shareWork(async (signal) => {
      const onProgress = (progress: Progress) => {
        for (const watch of watchers) watch(progress);
      };
      try {
        const facts = await load(clip, join(directory, `${key.slice(0, 40)}.json`), { signal, onProgress });
        known.set(key, facts);
        return facts;
      } finally {
        if (loading.get(key) === shared) loading.delete(key);
      }
    });
    const shared: Loading = { work, watchers };
    loading.set(key, shared);
    return shared;
  }
}

/**
 * The state of the file; for one that cannot be looked at now, what the folder said of it: inspecting
 * it will say what is wrong.
 */
async function stampTextOf({ path, bytes, modifiedMs }: FoundClip): Promise<string> {
  return stampOf(path).then(
    ({ text }) => text,
    () => `${bytes} ${modifiedMs}`,
  );
}

/** An inspection that is running, and who is told how far it is. */
interface Loading {
  readonly work: SharedWork<ClipFacts>;
  readonly watchers: Set<(progress: Progress) => void>;
}

async function readKept(file: string): Promise<ClipFacts | null> {
  try {
    return ClipFactsSchema.parse(JSON.parse(await readFile(file, "utf8")));
  } catch {
    return null; // Not there, or of another edition: inspect again.
  }
}
