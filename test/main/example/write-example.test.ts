import { execFileSync } from "node:child_process";
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { examplePixel } from "../../../src/main/example/example-motion.ts";
import { PICTURE, TRUE_CAMERA } from "../../../src/main/example/example-scene.ts";
import { EXAMPLE_CLIP, exampleSession } from "../../../src/main/example/example-session.ts";
import { exampleTruth } from "../../../src/main/example/example-truth.ts";
import { writeExample } from "../../../src/main/example/write-example.ts";
import type { Progress } from "../../../src/main/media/media.ts";
import { SessionSchema } from "../../../src/shared/session/schema.ts";
import { findMiddle } from "./find-middle.ts";

const ffmpegPath = process.env.LOFTMARK_FFMPEG ?? "ffmpeg";
const root = mkdtempSync(join(tmpdir(), "loftmark-example-"));
afterAll(() => rmSync(root, { recursive: true, force: true }));

describe("a whole example, written once", () => {
  const folder = join(root, "Tansy Holm, “fields” & more");
  const clip = join(folder, EXAMPLE_CLIP);
  const progress: Progress[] = [];

  beforeAll(async () => {
    await writeExample(folder, { ffmpegPath, seed: 7, onProgress: (one) => progress.push(one) });
  });

  it("holds the clip, the truth and the session, and nothing else", () => {
    expect(readdirSync(folder).sort()).toEqual([EXAMPLE_CLIP, "loftmark.json", "truth.json"].sort());
    const session = JSON.parse(readFileSync(join(folder, "loftmark.json"), "utf8"));
    expect(SessionSchema.parse(session)).toEqual(exampleSession(7));
    expect(session.shots[0].clip).toBe(EXAMPLE_CLIP);
    expect(JSON.parse(readFileSync(join(folder, "truth.json"), "utf8"))).toEqual(exampleTruth());
  });

  it("stores every frame of the launch as H.264 with B-frames at 30 frames a second, in under 8 MB", () => {
    const facts = JSON.parse(
      execFileSync("ffprobe", [
        ...["-v", "error", "-count_frames", "-select_streams", "v:0", "-of", "json"],
        ...[
          "-show_entries",
          "stream=codec_name,width,height,r_frame_rate,nb_read_frames,has_b_frames,pix_fmt",
        ],
        clip,
      ]).toString(),
    ).streams[0];
    expect(facts).toMatchObject({
      codec_name: "h264",
      pix_fmt: "yuv420p",
      width: PICTURE.width,
      height: PICTURE.height,
      r_frame_rate: "30/1",
      nb_read_frames: String(TRUE_CAMERA.frames),
      has_b_frames: expect.any(Number),
    });
    expect(facts.has_b_frames).toBeGreaterThan(0);
    expect(readFileSync(clip).length).toBeLessThan(8e6);
  });

  it("shows both targets of decoded frames within 0.1 px of the truth, through blur, noise and coding", () => {
    const frames = [5, 60, 124, 170];
    const raw = execFileSync(
      ffmpegPath,
      [
        ...["-v", "error", "-i", clip],
        ...["-vf", `select='${frames.map((n) => `eq(n,${n})`).join("+")}',extractplanes=y`],
        ...["-fps_mode", "passthrough", "-f", "rawvideo", "-pix_fmt", "gray", "-"],
      ],
      { maxBuffer: 64e6 },
    );
    const size = PICTURE.width * PICTURE.height;
    expect(raw.length).toBe(frames.length * size);
    frames.forEach((frame, i) => {
      const grey = { width: PICTURE.width, values: raw.subarray(i * size, (i + 1) * size) };
      for (const target of ["nose", "tail"] as const) {
        const [x, y] = examplePixel(target, frame);
        const found = findMiddle(grey, [x - 0.17, y + 0.19], 9);
        expect(Math.hypot(found[0] - x, found[1] - y)).toBeLessThan(0.1);
      }
    });
  });

  it("told of its progress from 0 to 1, never backwards", () => {
    const fractions = progress.map((one) => one.fraction);
    expect(fractions[0]).toBe(0);
    expect(fractions.at(-1)).toBe(1);
    expect(fractions).toEqual([...fractions].sort((a, b) => a - b));
    expect(fractions.length).toBeGreaterThan(TRUE_CAMERA.frames);
  });

  it("refuses to write over itself and leaves every byte as it was", async () => {
    const before = readFileSync(join(folder, "loftmark.json"));
    await expect(writeExample(folder, { ffmpegPath })).rejects.toMatchObject({
      fault: { code: "example-exists", remedy: "Give the example an empty folder of its own." },
    });
    expect(readFileSync(join(folder, "loftmark.json")).equals(before)).toBe(true);
    expect(readdirSync(folder)).toHaveLength(3);
  });
});

it("refuses a folder with only a session of the person's own, and adds nothing to it", async () => {
  const folder = mkdtempSync(join(root, "own-"));
  writeFileSync(join(folder, "loftmark.json"), "mine");
  await expect(writeExample(folder, { ffmpegPath })).rejects.toMatchObject({
    fault: { code: "example-exists" },
  });
  expect(readdirSync(folder)).toEqual(["loftmark.json"]);
  expect(readFileSync(join(folder, "loftmark.json"), "utf8")).toBe("mine");
});

it("leaves nothing behind when stopped half way", async () => {
  const folder = mkdtempSync(join(root, "stopped-"));
  const stop = new AbortController();
  const onProgress = ({ fraction }: Progress) => {
    if (fraction > 0.03) stop.abort();
  };
  const writing = writeExample(folder, { ffmpegPath, signal: stop.signal, onProgress });
  await expect(writing).rejects.toMatchObject({ fault: { code: "cancelled" } });
  expect(readdirSync(folder)).toEqual([]);
});

it("does not begin when already stopped", async () => {
  const folder = mkdtempSync(join(root, "never-"));
  const writing = writeExample(folder, { ffmpegPath, signal: AbortSignal.abort() });
  await expect(writing).rejects.toMatchObject({ fault: { code: "cancelled" } });
  expect(readdirSync(folder)).toEqual([]);
});

it("says that ffmpeg is missing when it cannot be started, and leaves nothing", async () => {
  const folder = mkdtempSync(join(root, "missing-"));
  const writing = writeExample(folder, { ffmpegPath: join(root, "no-such-ffmpeg") });
  await expect(writing).rejects.toMatchObject({ fault: { code: "ffmpeg-missing" } });
  expect(readdirSync(folder)).toEqual([]);
});

it("says what ffmpeg said last when it fails, and leaves nothing", async () => {
  const folder = mkdtempSync(join(root, "failing-"));
  // Node stands in for an ffmpeg that refuses its options and ends with words on its error stream.
  const writing = writeExample(folder, { ffmpegPath: process.execPath });
  await expect(writing).rejects.toMatchObject({
    fault: { code: "encode-failed", cause: expect.stringContaining("bad option") },
  });
  expect(readdirSync(folder)).toEqual([]);
});

it("says that the folder cannot be written when its place is a file", async () => {
  const file = join(root, "a-file");
  writeFileSync(file, "");
  await expect(writeExample(join(file, "inside"), { ffmpegPath })).rejects.toMatchObject({
    fault: { code: "example-unwritable" },
  });
});
