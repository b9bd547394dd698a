import { mkdtemp, readdir, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { createMedia } from "../../../src/main/media/create-media.ts";
import type { Media } from "../../../src/main/media/media.ts";
import type { GreyImage } from "../../../src/shared/follow/grey-image.ts";
import type { ClipFacts } from "../../../src/shared/session/clip-facts.ts";
import { makeAwkwardClips, makeClip } from "../../clips/make-clips.ts";
import { readNumber, type Turn } from "../../clips/numbered-picture.ts";
import { ffmpegPath, run } from "../../clips/program.ts";
import { faultOf } from "../../support/fault-of.ts";

let folder: string;
let clips: Awaited<ReturnType<typeof makeAwkwardClips>>;
let media: Media;

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), "loftmark-grey-"));
  clips = await makeAwkwardClips(folder);
  media = createMedia({ ffmpegPath: ffmpegPath(), cacheDir: join(folder, "cache") });
});
afterAll(() => rm(folder, { recursive: true, force: true }));

const numberIn = ({ data, width, height }: GreyImage, facts: ClipFacts) =>
  readNumber(Uint8Array.from(data, Math.round), width, height, facts.rotationDeg as Turn);

async function numbers(clip: string, facts: ClipFacts, from: number, to: number): Promise<number[][]> {
  const seen: number[][] = [];
  for await (const { index, image } of media.grey(clip, facts, from, to)) {
    expect([image.width, image.height]).toEqual([facts.width, facts.height]);
    // Drawn at 40 and 215; coded in the range 16 to 235 they are 16 + 219/255 of that, and stay so.
    const grey = [...image.data].sort((a, b) => a - b);
    const [dark, light] = [
      grey[Math.floor(0.1 * grey.length)] as number,
      grey[Math.floor(0.95 * grey.length)] as number,
    ];
    const coded = facts.codec === "mjpeg" ? [40, 215] : [50.4, 200.6];
    expect(Math.abs(dark - coded[0]!)).toBeLessThan(3);
    expect(Math.abs(light - coded[1]!)).toBeLessThan(3);
    seen.push([index, numberIn(image, facts)]);
  }
  return seen;
}

describe("grey gives each exact frame once, in order or in falling order", () => {
  const kinds = [
    ["plain", "H.264 with B-frames", 0],
    ["variable", "a variable rate", 0],
    ["turned", "a display matrix", 0],
    ["wide", "non-square pixels", 0],
    ["trimmed", "an edit list that hides the first 15 frames", 15],
    ["transport", "an MPEG transport stream", 0],
    ["tenBit", "10 bits", 0],
    ["motionJpeg", "motion JPEG in AVI", 0],
  ] as const;
  it.each(kinds)("%s: %s", async (kind, _what, hidden) => {
    const facts = await media.inspect(clips[kind]);
    // More than one stretch of frames either way.
    const on = Array.from({ length: 30 }, (_, i) => 35 + i);
    expect(await numbers(clips[kind], facts, 35, 64)).toEqual(on.map((i) => [i, i + hidden]));
    const back = Array.from({ length: 27 }, (_, i) => 40 - i);
    expect(await numbers(clips[kind], facts, 40, 14)).toEqual(back.map((i) => [i, i + hidden]));
  });

  it("hands on the coded luma, not stretched to full range, and 10 bits with their fractions", async () => {
    const raw = ["-f", "lavfi", "-i", "color=c=gray:s=64x48:d=0.2:r=30"];
    for (const [name, format, level] of [
      ["eight.mkv", "yuv420p", 90],
      ["ten.mkv", "yuv420p10le", 90.25],
    ] as const) {
      const coded = format === "yuv420p" ? level : 4 * level;
      const clip = join(folder, name);
      const set = `format=${format},geq=lum=${coded}:cb=${format === "yuv420p" ? 128 : 512}:cr=${format === "yuv420p" ? 128 : 512}`;
      await run(ffmpegPath(), ["-v", "error", "-y", ...raw, "-vf", set, "-c:v", "ffv1", `file:${clip}`]);
      const facts = await media.inspect(clip);
      for await (const { image } of media.grey(clip, facts, 0, 1))
        expect(new Set(image.data)).toEqual(new Set([level]));
    }
  });

  it("reads pictures without a luma plane of their own", async () => {
    const clip = await makeClip(join(folder, "rgb.mkv"), ["-c:v", "ffv1", "-pix_fmt", "bgr0"], 6);
    const facts = await media.inspect(clip);
    expect(facts.pixelFormat).toBe("bgr0");
    expect((await numbers(clip, facts, 1, 4)).map(([, number]) => number)).toEqual([1, 2, 3, 4]);
  });
});

describe("grey cleans up and stops", () => {
  it("leaves nothing on the disk when the caller stops asking, or stops it", async () => {
    const cache = join(folder, "own-cache");
    const own = createMedia({ ffmpegPath: ffmpegPath(), cacheDir: cache });
    const facts = await own.inspect(clips.plain);
    for await (const { index } of own.grey(clips.plain, facts, 0, 80)) if (index === 3) break;
    const stop = new AbortController();
    const fault = await faultOf(
      (async () => {
        for await (const { index } of own.grey(clips.plain, facts, 0, 80, { signal: stop.signal })) {
          if (index === 5) stop.abort();
          expect(index).toBeLessThan(6);
        }
      })(),
    );
    expect(fault.code).toBe("cancelled");
    expect((await readdir(cache)).filter((name) => name.startsWith("making"))).toEqual([]);
  });

  it("says that a frame is not there", async () => {
    const facts = await media.inspect(clips.plain);
    const fault = await faultOf(
      (async () => {
        for await (const _ of media.grey(clips.plain, facts, 80, 90)) expect.unreachable();
      })(),
    );
    expect(fault.code).toBe("no-such-frame");
  });
});
