import { mkdir, readdir } from "node:fs/promises";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { createMedia } from "../../../src/main/media/create-media.ts";
import { createDamageBook } from "../../../src/main/media/damage-book.ts";
import {
  cellsOf,
  type FrameDifferences,
  frameDifferences,
} from "../../../src/main/media/frame-differences.ts";
import { createFrameStore } from "../../../src/main/media/frame-store.ts";
import type { MediaOptions, Progress } from "../../../src/main/media/media.ts";
import { createFfmpeg } from "../../../src/main/media/run-ffmpeg.ts";
import { repeatedFrames } from "../../../src/shared/clock/repeated-frames.ts";
import { createChance } from "../../../src/shared/quantity/chance.ts";
import { unwrap } from "../../../src/shared/quantity/result.ts";
import type { ClipFacts } from "../../../src/shared/session/clip-facts.ts";
import { H264, makeVariableClip } from "../../clips/make-clips.ts";
import { ffmpegPath, run } from "../../clips/program.ts";
import { faultOf } from "../../support/fault-of.ts";
import { temporaryFolder } from "../../support/temporary-folder.ts";

const [WIDTH, HEIGHT] = [320, 180];

/** A grey field with a dark body 60 px long at `left`, and two levels of grain that is new in every frame. */
function picture(left: number, seed: number): Uint8Array {
  const chance = createChance(seed);
  const grey = new Uint8Array(WIDTH * HEIGHT);
  for (let y = 0; y < HEIGHT; y++) {
    for (let x = 0; x < WIDTH; x++) {
      const body = x >= left && x < left + 60 && y >= 80 && y < 100;
      grey[y * WIDTH + x] = (body ? 50 : 150 + ((x * 7 + y * 3) % 40)) + Math.floor(5 * chance.uniform());
    }
  }
  return grey;
}

/**
 * A clip that shows picture `shown[k]`, grain and all, in frame k: coded with B-frames, so that a
 * repeat is no equal copy.
 */
async function clipOf(path: string, shown: readonly number[], pxPerPicture: number): Promise<string> {
  const raw = ["-f", "rawvideo", "-pix_fmt", "gray", "-s", `${WIDTH}x${HEIGHT}`, "-r", "240", "-i", "-"];
  const pictures = shown.map((i) => picture(10 + pxPerPicture * i, i));
  await run(ffmpegPath(), ["-v", "error", "-y", ...raw, ...H264, `file:${path}`], pictures);
  return path;
}

async function differencesOf(
  path: string,
  scratch: string,
  options?: MediaOptions,
): Promise<FrameDifferences> {
  const media = createMedia({ ffmpegPath: ffmpegPath(), cacheDir: scratch });
  const facts = await media.inspect(path);
  return differ(scratch, path, facts, options);
}
function differ(folder: string, path: string, facts: ClipFacts, options?: MediaOptions) {
  const ffmpeg = createFfmpeg(ffmpegPath());
  const store = createFrameStore(folder, 1e9, Date.now);
  return frameDifferences(ffmpeg, store, createDamageBook(ffmpeg), { key: "clip", path, facts }, options);
}
const count = (n: number) => Array.from({ length: n }, (_, k) => k);

describe("frameDifferences with repeatedFrames", () => {
  it("finds doubled frames in a clip coded anew", async () => {
    const folder = await temporaryFolder();
    const clip = await clipOf(
      join(folder, "doubled.mp4"),
      count(80).map((k) => Math.floor(k / 2)),
      4,
    );
    const { greatest, mean } = await differencesOf(clip, folder);
    expect(greatest).toHaveLength(80);
    expect([greatest[0], mean[0]]).toEqual([null, null]);
    const found = unwrap(repeatedFrames(greatest));
    expect(found.period).toMatchObject({ everyFrames: 2, repeats: 1, agreement: 1 });
    expect(found.frames).toEqual(count(79).filter((k) => k % 2 === 1 && k > 1));
    expect(mean.every((d, k) => k === 0 || (d as number) <= (greatest[k] as number))).toBe(true);
  });

  it("finds every 5th repeated, and none in the same motion without", async () => {
    const folder = await temporaryFolder();
    const shown = count(90).map((k) => k - Math.floor(k / 5));
    const clip = await clipOf(join(folder, "fifth.mp4"), shown, 3);
    const found = unwrap(repeatedFrames((await differencesOf(clip, folder)).greatest));
    expect(found.frames).toEqual(count(89).filter((k) => k % 5 === 0 && k > 0));
    expect(found.period).toMatchObject({ everyFrames: 5, repeats: 1, agreement: 1 });
    const whole = await clipOf(join(folder, "whole.mp4"), count(72), 3);
    const none = unwrap(repeatedFrames((await differencesOf(whole, folder)).greatest));
    expect(none).toMatchObject({ frames: [], period: null });
  });

  it("leaves a still scene undecided, doubled or not", async () => {
    const folder = await temporaryFolder();
    for (const shown of [count(40), count(40).map((k) => Math.floor(k / 2))]) {
      const clip = await clipOf(join(folder, "still.mp4"), shown, 0);
      expect(repeatedFrames((await differencesOf(clip, folder)).greatest)).toMatchObject({
        ok: false,
        code: "nothing-moves",
      });
    }
  });

  it("decides where the body flies and not while it waits", async () => {
    const folder = await temporaryFolder();
    const shown = count(90).map((k) => Math.max(0, k - 40 - Math.floor((k - 40) / 5)));
    const clip = await clipOf(join(folder, "waits.mp4"), shown, 4);
    const found = unwrap(repeatedFrames((await differencesOf(clip, folder)).greatest));
    expect(found.undecidable[0]).toEqual({ from: 1, to: 40 });
    expect(found.frames).toEqual([45, 50, 55, 60, 65, 70, 75, 80, 85]);
  });
});

describe("frameDifferences", () => {
  it("follows irregular timestamps frame by frame, tells progress, and leaves nothing behind", async () => {
    const folder = await temporaryFolder();
    const clip = await makeVariableClip(join(folder, "variable.mp4"));
    const scratch = join(folder, "scratch");
    await mkdir(scratch);
    const told: Progress[] = [];
    const { greatest } = await differencesOf(clip, scratch, {
      onProgress: (progress) => told.push(progress),
    });
    expect(greatest).toHaveLength(90);
    // Numbered pictures: bars go from dark to light with every number.
    expect(greatest.slice(1).every((d) => (d as number) > 100)).toBe(true);
    expect(told.at(-1)?.fraction).toBe(1);
    expect(told.every(({ fraction }, i) => fraction >= (told[i - 1]?.fraction ?? 0))).toBe(true);
    expect(await readdir(scratch)).toEqual([]);
  });

  it("can be stopped before and during the work, and leaves nothing behind", async () => {
    const folder = await temporaryFolder();
    const clip = await clipOf(join(folder, "clip.mp4"), count(60), 3);
    const scratch = join(folder, "scratch");
    await mkdir(scratch);
    expect(await faultOf(differencesOf(clip, scratch, { signal: AbortSignal.abort() }))).toMatchObject({
      code: "cancelled",
    });
    const controller = new AbortController();
    const stopped = differencesOf(clip, scratch, {
      signal: controller.signal,
      onProgress: () => controller.abort(),
    });
    expect(await faultOf(stopped)).toMatchObject({ code: "cancelled" });
    expect(await readdir(scratch)).toEqual([]);
  });

  it("says so when the frames are not those the facts list, or the scratch folder is not there", async () => {
    const folder = await temporaryFolder();
    const clip = await clipOf(join(folder, "clip.mp4"), count(30), 3);
    const facts = await createMedia({ ffmpegPath: ffmpegPath(), cacheDir: folder }).inspect(clip);
    const fewer = { ...facts, pts: facts.pts.filter((_, k) => k !== 12) };
    expect(await faultOf(differ(folder, clip, fewer))).toMatchObject({
      code: "frames-not-exact",
      cause: expect.stringContaining("frame 12"),
    });
    const gone = join(folder, "gone.mp4");
    expect(await faultOf(differ(folder, gone, facts))).toMatchObject({
      code: "clip-missing",
    });
  });
});

it("divides wide, square and upright pictures into cells that are nearly square", () => {
  expect(cellsOf({ width: 1920, height: 1080 })).toEqual([64, 36]);
  expect(cellsOf({ width: 1000, height: 1000 })).toEqual([48, 48]);
  expect(cellsOf({ width: 1080, height: 1920 })).toEqual([36, 64]);
});
