import { createHash } from "node:crypto";
import { mkdir, readFile } from "node:fs/promises";
import { join } from "node:path";
import { z } from "zod";
import { movedFrames } from "../../shared/background/moved-frames.ts";
import type { CameraSeen, Stretch } from "../../shared/measure/camera-look.ts";
import { FaultError } from "../../shared/quantity/notice.ts";
import { type ClipFacts, ClipFactsSchema } from "../../shared/session/clip-facts.ts";
import type { Workers } from "../jobs/workers.ts";
import { fingerprintsOfProcess } from "../media/clip-fingerprint.ts";
import type { GreyFrame, Media, MediaOptions } from "../media/media.ts";
import { writeAtomically } from "../store/atomic-write.ts";
import type { FoundClip } from "../store/field-folder.ts";
import { watched } from "./movement-in-clip.ts";

const EDITION = 4; // raise when looking comes to find more
const FRAMES = 40; // compared of a stretch: a hand does not come back to one place so often
const AT_ONCE = 300; // frames: a longer stretch is not decoded whole, but a frame here and there

/** Looks at some frames of clips, whether the camera moved, and keeps what was seen. */
export interface CameraLooks {
  /** What frames of a stretch show; looked at once. @throws FaultError, or the signal's reason */
  at(clip: FoundClip, facts: ClipFacts, stretch: Stretch, options?: MediaOptions): Promise<CameraSeen>;
  /** What was seen of a clip before, in stretches none of which lies over another; null for nothing. */
  kept(clip: FoundClip): Promise<CameraSeen | null>;
}

const KeptLookSchema = z.strictObject({
  from: z.int().nonnegative(),
  to: z.int().nonnegative(),
  camera: ClipFactsSchema.shape.camera.unwrap(),
});
type KeptLook = z.infer<typeof KeptLookSchema>;

/**
 * Makes looks that are kept in memory and in the cache directory, under what the clip holds: a copy of a clip
 * is not looked at again. A new look stands in place of those it lies over. A clip that cannot be read whole,
 * as while it is copied, is looked at and not remembered. One whose pictures cannot be had gives no frame,
 * which is not the same as a still camera.
 */
export function createCameraLooks(media: Media, workers: Workers, cacheDir: string): CameraLooks {
  const directory = join(cacheDir, "camera");
  const known = new Map<string, readonly KeptLook[]>();
  const fingerprints = fingerprintsOfProcess(cacheDir);

  return {
    async at(clip, facts, { from, to }, options = {}) {
      const content = await fingerprints.of(clip, options).catch((error: unknown) => {
        if (!(error instanceof FaultError) || options.signal?.aborted === true) throw error;
        return null;
      });
      if (content === null) return look(clip.path, facts, from, to, options);
      const before = await looksAt(content);
      const same = before.find((one) => one.from === from && one.to === to);
      if (same !== undefined) return same.camera;
      const camera = await look(clip.path, facts, from, to, options);
      await keep(content, { from, to, camera });
      return camera;
    },
    async kept(clip) {
      const content = await fingerprints.known(clip);
      const looks = content === null ? [] : await looksAt(content);
      if (looks.length === 0) return null;
      return {
        asked: looks.flatMap((one) => one.camera.asked),
        frames: looks.flatMap((one) => one.camera.frames),
      };
    },
  };

  function fileOf(content: string): string {
    const text = JSON.stringify([EDITION, content]);
    return join(directory, `${createHash("sha256").update(text).digest("hex").slice(0, 40)}.json`);
  }

  async function looksAt(content: string): Promise<readonly KeptLook[]> {
    const looks = known.get(content) ?? (await readKept(fileOf(content)));
    known.set(content, looks);
    return looks;
  }

  async function keep(content: string, look: KeptLook): Promise<void> {
    const apart = (await looksAt(content)).filter((one) => one.to < look.from || one.from > look.to);
    const looks = [...apart, look].sort((a, b) => a.from - b.from);
    known.set(content, looks);
    await mkdir(directory, { recursive: true })
      .then(() => writeAtomically(fileOf(content), JSON.stringify(looks)))
      // A cache that cannot be written costs time at the next start, nothing else.
      .catch(() => {});
  }

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
      if (views.length === 0) return { asked: [...asked], frames: [] };
      const { frames } = movedFrames(views, from, [facts.width, facts.height]);
      const rows = frames.map(({ frame, corners, u }) => ({
        frame,
        corners: [...corners],
        u: [...u] as [number, number],
      }));
      return { asked: [...asked], frames: rows };
    } catch (error) {
      if (!(error instanceof FaultError) || options.signal?.aborted === true) throw error;
      return { asked: [...asked], frames: [] };
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

async function readKept(file: string): Promise<readonly KeptLook[]> {
  try {
    return KeptLookSchema.array().parse(JSON.parse(await readFile(file, "utf8")));
  } catch {
    return []; // Not there, or of another edition: looked at again.
  }
}
