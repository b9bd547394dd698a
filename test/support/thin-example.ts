import { copyFile, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { createFramePainter } from "../../src/main/example/draw-frame.ts";
import { encodeFrames } from "../../src/main/example/encode-frames.ts";
import { exampleCamera, TICKS_PER_S } from "../../src/main/example/example-camera.ts";
import { PICTURE, TRUE_CAMERA } from "../../src/main/example/example-scene.ts";
import { EXAMPLE_CLIP, exampleSession } from "../../src/main/example/example-session.ts";
import { type ExampleVariant, hasFault } from "../../src/main/example/example-variant.ts";

const DRAW_EVERY = 60; // frames; those between show the last drawn one

/**
 * Writes a variant's session with a thinly drawn clip: the size, the number of frames and every timestamp of
 * the variant's own clip, but few pictures drawn, which is what takes the time. Enough for whatever takes no
 * number from the pictures, as measuring does not.
 * @param folder an existing folder
 * @param drawn clips drawn before, by their times and whether the camera shook: one of the same is copied
 */
export async function writeThinExample(
  folder: string,
  variant: ExampleVariant,
  ffmpegPath: string,
  drawn = new Map<string, string>(),
): Promise<void> {
  const { frames, ticks } = exampleCamera(variant);
  const key = JSON.stringify([frames, ticks, hasFault(variant, "shake")]);
  const output = join(folder, EXAMPLE_CLIP);
  const same = drawn.get(key);
  if (same === undefined) await drawThin(output, variant, ffmpegPath);
  else await copyFile(same, output);
  drawn.set(key, output);
  await writeFile(join(folder, "loftmark.json"), JSON.stringify(exampleSession(1, variant)));
}

async function drawThin(output: string, variant: ExampleVariant, ffmpegPath: string): Promise<void> {
  const painter = createFramePainter(1, variant);
  const { ticks } = exampleCamera(variant);
  await encodeFrames(
    {
      ffmpegPath,
      output,
      ...PICTURE,
      rateHz: TRUE_CAMERA.playbackRateHz,
      frames: painter.frames,
      ...(ticks && { stamps: { ticks, ticksPerS: TICKS_PER_S } }),
    },
    (frame, into) => {
      if (frame % DRAW_EVERY === 0) painter.paint(frame, into);
    },
    () => {},
  );
}
