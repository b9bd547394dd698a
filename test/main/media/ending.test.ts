import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, expect, it } from "vitest";
import type { ClipFingerprints } from "../../../src/main/media/clip-fingerprint.ts";
import { createMedia } from "../../../src/main/media/create-media.ts";
import { cancelled } from "../../../src/main/media/media-faults.ts";
import { H264, makeClip } from "../../clips/make-clips.ts";
import { ffmpegPath } from "../../clips/program.ts";

let folder: string;
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), "loftmark-ending-"));
});
afterAll(() => rm(folder, { recursive: true, force: true }));

it("ends reading a clip whole for its fingerprint when its owner has no more use for it", async () => {
  const clip = await makeClip(join(folder, "clip.mp4"), H264);
  let tell: (signal: AbortSignal) => void = () => {};
  const reading = new Promise<AbortSignal>((resolve) => {
    tell = resolve;
  });
  const fingerprints: ClipFingerprints = {
    // A short clip is asked for without a signal; this one stands for a long one, which is read beside.
    of: (_, options) =>
      options?.signal === undefined
        ? Promise.reject(cancelled())
        : new Promise((_resolve, reject) => {
            options.signal!.addEventListener("abort", () => reject(cancelled()));
            tell(options.signal!);
          }),
    known: async () => null,
  };
  const owner = new AbortController();
  const media = createMedia({
    ffmpegPath: ffmpegPath(),
    cacheDir: join(folder, "cache"),
    fingerprints,
    signal: owner.signal,
  });
  const facts = await media.inspect(clip);
  await media.frame(clip, facts, 3, "half");
  const signal = await reading;
  expect(signal.aborted).toBe(false);
  owner.abort();
  expect(signal.aborted).toBe(true);
});
