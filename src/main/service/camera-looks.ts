import { createHash } from "node:crypto";
import { mkdir, readFile } from "node:fs/promises";
import { join } from "node:path";
import { movedFrames } from "../../shared/background/moved-frames.ts";
import { FaultError } from "../../shared/quantity/notice.ts";
import { type ClipFacts, ClipFactsSchema } from "../../shared/session/clip-facts.ts";
import type { Workers } from "../jobs/workers.ts";
import { fingerprintsOfProcess } from "../media/clip-fingerprint.ts";
import type { GreyFrame, Media, MediaOptions } from "../media/media.ts";
import { writeAtomically } from "../store/atomic-write.ts";
import type { FoundClip } from "../store/field-folder.ts";
import { watched } from "./movement-in-clip.ts";

const EDITION = 3; // raise when looking comes to find more
const FRAMES = 40; // compared of a stretch: a hand does not come back to one place so often
const AT_ONCE = 300; // frames: a longer stretch is not decoded whole, but a frame here and there

export type CameraSeen = NonNullable<ClipFacts["camera"]>;

/** Looks at some frames of a stretch of a clip, whether the camera moved. */
export type CameraLooks = (
  clip: FoundClip,
  facts: ClipFacts,
  stretch: { readonly from: number; readonly to: number },
  options?: MediaOptions,
) => Promise<CameraSeen>;

/**
 * Makes looks that are kept in memory and in the cache directory, under what the clip holds and the stretch:
 * a copy of a clip is not looked at again. One that cannot be read whole, as while it is copied, is looked at
 * and not remembered. A clip whose pictures cannot be had gives no frame, which is not the same as a still
 * camera.
 */
export function createCameraLooks(media: Media, workers: Workers, cacheDir: string): CameraLooks {
  const directory = join(cacheDir, "camera");
  const known = new Map<string, CameraSeen>();
  const fingerprints = fingerprintsOfProcess(cacheDir);

  return async (clip, facts, { from, to }, options = {}) => {
    const content = await fingerprints.of(clip, options).catch((error: unknown) => {
      if (!(error instanceof FaultError) || options.signal?.aborted === true) throw error;
      return null;
    });
    if (content === null) return look(clip.path, facts, from, to, options);
    const text = JSON.stringify([EDITION, content, from, to]);
    const key = createHash("sha256").update(text).digest("hex").slice(0, 40);
    const file = join(directory, `${key}.json`);
    const kept = known.get(key) ?? (await readKept(file));
    const seen = kept ?? (await look(clip.path, facts, from, to, options));
    known.set(key, seen);
    if (kept === null) {
      await mkdir(directory, { recursive: true })
        .then(() => writeAtomically(file, JSON.stringify(seen)))
        // A cache that cannot be written costs time at the next start, nothing else.
        .catch(() => {});
    }
    return seen;
  };

  async function look(
    path: string,
    facts: ClipFacts,
    from: number,
    to: number,
    options: MediaOptions,
  ): Promise<CameraSeen> {
    const asked = framesOf(from, to);
    const doing = `Looking whether the camera of ${facts.name} moved`;
    const tell = (frame: number) =>
      options.onProgress?.({ fraction: (frame - from) / Math.max(1, to - from), doing });
    tell(from);
    try {
      const views = await watched(workers, pictures(path, facts, asked, options), null, options.signal, tell);
      if (views.length === 0) return { asked: asked.length, frames: [] };
      const { frames } = movedFrames(views, from, [facts.width, facts.height]);
      const rows = frames.map(({ frame, corners, u }) => ({
        frame,
        corners: [...corners],
        u: [...u] as [number, number],
      }));
      return { asked: asked.length, frames: rows };
    } catch (error) {
      if (!(error instanceof FaultError) || options.signal?.aborted === true) throw error;
      return { asked: asked.length, frames: [] };
    }
  }

  async function* pictures(
    path: string,
    facts: ClipFacts,
    asked: readonly number[],
    options: MediaOptions,
  ): AsyncGenerator<GreyFrame> {
    const [first, last] = [asked[0] as number, asked.at(-1) as number];
    const wanted = new Set(asked);
    if (last - first < AT_ONCE) {
      for await (const one of media.grey(path, facts, first, last, options)) {
        if (wanted.has(one.index)) yield one;
      }
      return;
    }
    for (const frame of asked) yield* media.grey(path, facts, frame, frame, options);
  }
}

/** Frames evenly spread over a stretch, both ends among them. */
function framesOf(from: number, to: number): readonly number[] {
  const count = Math.min(FRAMES, to - from + 1);
  if (count < 2) return [from];
  const at = (i: number) => Math.round(from + (i * (to - from)) / (count - 1));
  return [...new Set(Array.from({ length: count }, (_, i) => at(i)))];
}

async function readKept(file: string): Promise<CameraSeen | null> {
  try {
    return ClipFactsSchema.shape.camera.unwrap().parse(JSON.parse(await readFile(file, "utf8")));
  } catch {
    return null; // Not there, or of another edition: looked at again.
  }
}
