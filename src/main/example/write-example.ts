import { randomUUID } from "node:crypto";
import { access, mkdir, rename, rm, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { FaultError } from "../../shared/quantity/notice.ts";
import type { MediaOptions } from "../media/media.ts";
import { cancelled } from "../media/media-faults.ts";
import { createFramePainter } from "./draw-frame.ts";
import { encodeFrames } from "./encode-frames.ts";
import { exampleCamera, TICKS_PER_S } from "./example-camera.ts";
import { PICTURE, TRUE_CAMERA } from "./example-scene.ts";
import { EXAMPLE_CLIP, exampleSession } from "./example-session.ts";
import { exampleTruth } from "./example-truth.ts";
import type { ExampleVariant } from "./example-variant.ts";

export interface WriteExampleOptions extends MediaOptions {
  readonly ffmpegPath: string;
  /** Of the noise in the clip and of every error in the session; 1 unless told. */
  readonly seed?: number;
  /** How the launch was filmed; "plain" unless told. */
  readonly variant?: ExampleVariant;
}

/**
 * Writes the example field folder: the clip, `truth.json` and `loftmark.json`. The folder is made if
 * missing. All files are written under other names first and appear together, `loftmark.json` last; after a
 * failure or a stop none is left.
 * @throws FaultError "example-exists" when one of the three is there already; those of encodeFrames;
 *   "example-unwritable"; "cancelled"
 */
export async function writeExample(directory: string, options: WriteExampleOptions): Promise<void> {
  const { ffmpegPath, seed = 1, variant = "plain", signal, onProgress } = options;
  if (signal?.aborted) throw cancelled();
  const files = [EXAMPLE_CLIP, "truth.json", "loftmark.json"] as const;
  const written: string[] = [];
  try {
    await mkdir(directory, { recursive: true });
    await refuseExisting(directory, files);
    const mark = randomUUID().slice(0, 8);
    const part = (name: string) => join(directory, `.${name}.${mark}.part`);
    written.push(...files.map(part));
    onProgress?.({ fraction: 0, doing: "Drawing the field" });
    const painter = createFramePainter(seed, variant);
    const { ticks } = exampleCamera(variant);
    await encodeFrames(
      {
        ffmpegPath,
        output: part(EXAMPLE_CLIP),
        ...PICTURE,
        rateHz: TRUE_CAMERA.playbackRateHz,
        frames: painter.frames,
        ...(ticks && { stamps: { ticks, ticksPerS: TICKS_PER_S } }),
        ...(signal && { signal }),
      },
      painter.paint,
      (done) =>
        onProgress?.({
          fraction: (0.98 * done) / painter.frames,
          doing: `Filming frame ${done} of ${painter.frames}`,
        }),
    );
    await writeFile(part("truth.json"), asText(exampleTruth()));
    await writeFile(part("loftmark.json"), asText(exampleSession(seed, variant)));
    await refuseExisting(directory, files); // again: drawing took seconds
    for (const name of files) {
      await rename(part(name), join(directory, name));
      written.push(join(directory, name));
    }
    onProgress?.({ fraction: 1, doing: "Done" });
  } catch (error) {
    await Promise.allSettled(written.map((path) => rm(path, { force: true })));
    throw isFileError(error) ? unwritable(directory, error) : error;
  }
}

async function refuseExisting(directory: string, files: readonly string[]): Promise<void> {
  for (const name of files) {
    const there = await access(join(directory, name)).then(
      () => true,
      () => false,
    );
    if (there) {
      throw new FaultError(
        "example-exists",
        `${directory} already holds a ${name}, and the example would overwrite it.`,
        "Give the example an empty folder of its own.",
      );
    }
  }
}

function asText(document: unknown): string {
  return `${JSON.stringify(document, null, 2)}\n`;
}

function isFileError(error: unknown): error is NodeJS.ErrnoException {
  return error instanceof Error && "syscall" in error && "code" in error;
}

function unwritable(directory: string, error: NodeJS.ErrnoException): FaultError {
  return new FaultError(
    "example-unwritable",
    `The example could not be written to ${directory} (${error.code}).`,
    "Choose a folder you may write to, on a disk with 20 MB to spare.",
  );
}
