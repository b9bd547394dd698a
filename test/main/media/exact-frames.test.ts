import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { createMedia } from "../../../src/main/media/create-media.ts";
import { halfSize } from "../../../src/main/media/extract-pack.ts";
import type { FrameSize, Media } from "../../../src/main/media/media.ts";
import type { ClipFacts } from "../../../src/shared/session/clip-facts.ts";
import { canEncode, decodeJpegs, H264, makeAwkwardClips, makeClip } from "../../clips/make-clips.ts";
import { readNumber, type Turn } from "../../clips/numbered-picture.ts";
import { ffmpegPath } from "../../clips/program.ts";

let folder: string;
let clips: Awaited<ReturnType<typeof makeAwkwardClips>>;
let media: Media;

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), "loftmark-frames-"));
  clips = await makeAwkwardClips(folder);
  media = createMedia({ ffmpegPath: ffmpegPath(), cacheDir: join(folder, "cache") });
});
afterAll(() => rm(folder, { recursive: true, force: true }));

/**
 * The numbers in the pictures of these frames, read from upright JPEGs whose size must be the one promised.
 */
async function numbersAt(clip: string, facts: ClipFacts, indices: readonly number[], size: FrameSize) {
  const jpegs: Uint8Array[] = [];
  for (const index of indices) jpegs.push(await media.frame(clip, facts, index, size));
  const [width, height] = size === "half" ? halfSize(facts) : [facts.width, facts.height];
  const pictures = await decodeJpegs(jpegs, width, height);
  return pictures.map((picture) => readNumber(picture, width, height, facts.rotationDeg as Turn));
}

describe("frame gives the exact picture at any index, in any order", () => {
  const kinds = [
    ["plain", "H.264 with B-frames", 0],
    ["variable", "a variable rate", 0],
    ["turned", "a display matrix", 0],
    ["wide", "non-square pixels", 0],
    ["trimmed", "an edit list that hides the first 15 frames", 15],
    ["late", "video that starts after the sound", 0],
    ["matroska", "Matroska", 0],
    ["transport", "an MPEG transport stream", 0],
    ["untimed", "AVI without presentation times", 0],
    ["open", "open groups of pictures", 0],
    ["tenBit", "10 bits", 0],
    ["motionJpeg", "motion JPEG in AVI", 0],
  ] as const;
  it.each(kinds)("%s: %s", async (kind, _what, hidden) => {
    const facts = await media.inspect(clips[kind]);
    const last = facts.pts.length - 1;
    // Last first and then back and forth: a seek each, none helped by what an earlier one left in the cache.
    const indices = [last, 37, 24, 0];
    expect(await numbersAt(clips[kind], facts, indices, "full")).toEqual(indices.map((i) => i + hidden));
  });

  it("HEVC, or says that this ffmpeg has no encoder to make the clip with", async () => {
    if (!(await canEncode("libx265"))) {
      console.warn("no HEVC clip was tested: this ffmpeg cannot encode HEVC");
      return;
    }
    const params = ["-c:v", "libx265", "-preset", "ultrafast", "-x265-params", "log-level=none:keyint=24"];
    const clip = await makeClip(join(folder, "hevc.mp4"), [...params, "-pix_fmt", "yuv420p10le"]);
    const facts = await media.inspect(clip);
    expect(await numbersAt(clip, facts, [71, 5], "full")).toEqual([71, 5]);
  });
});

describe("extract prepares a range", () => {
  it("from a frame within a group to the end, every one exact, with progress up to 1", async () => {
    const facts = await media.inspect(clips.variable);
    const fractions: number[] = [];
    await media.extract(clips.variable, facts, 41, 89, "half", {
      onProgress: ({ fraction }) => fractions.push(fraction),
    });
    const indices = Array.from({ length: 49 }, (_, i) => 41 + i);
    expect(await numbersAt(clips.variable, facts, indices, "half")).toEqual(indices);
    expect(fractions.at(-1)).toBe(1);
  });

  it("around frames that are there already, and across their edges", async () => {
    const facts = await media.inspect(clips.plain);
    await media.extract(clips.plain, facts, 30, 34, "half");
    await media.extract(clips.plain, facts, 40, 44, "half");
    await media.extract(clips.plain, facts, 25, 50, "half");
    const indices = Array.from({ length: 26 }, (_, i) => 25 + i);
    expect(await numbersAt(clips.plain, facts, indices, "half")).toEqual(indices);
  });
});

describe("names that other programs trip over", () => {
  const names = [
    "shot 1 & two.mp4",
    "Flügel–翼.mp4",
    `it's "so".mp4`,
    "-i.mp4",
    "take%03d.mp4",
    "a:b|c,[d].mp4",
  ];
  // Windows allows no quotes, colons or bars in a file name, so there is no such clip to open there.
  const possible = names.filter((name) => process.platform !== "win32" || !/["|:]/.test(name));
  it.each(possible)("%s is inspected and its frame 7 shown", async (name) => {
    const clip = await makeClip(join(folder, name), H264, 12);
    const facts = await media.inspect(clip);
    expect(facts.name).toBe(name);
    expect(await numbersAt(clip, facts, [7], "full")).toEqual([7]);
  });
});
