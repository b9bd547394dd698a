import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { createMedia } from "../../../src/main/media/create-media.ts";
import { type ClipFacts, ClipFactsSchema, timestampsS } from "../../../src/shared/session/clip-facts.ts";
import {
  canEncode,
  FRAMES,
  H264,
  HEIGHT,
  makeAwkwardClips,
  makeClip,
  probeFrames,
  variableTicks,
  WIDTH,
} from "../../clips/make-clips.ts";
import { ffmpegPath } from "../../clips/program.ts";

let folder: string;
let clips: Awaited<ReturnType<typeof makeAwkwardClips>>;
const media = () => createMedia({ ffmpegPath: ffmpegPath(), cacheDir: join(folder, "cache") });

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), "loftmark-inspect-"));
  clips = await makeAwkwardClips(folder);
});
afterAll(() => rm(folder, { recursive: true, force: true }));

describe("inspect lists exactly the timestamps and key frames that ffprobe decodes", () => {
  const kinds = [
    ["plain", "H.264 with B-frames"],
    ["variable", "a variable rate"],
    ["turned", "a display matrix"],
    ["wide", "non-square pixels"],
    ["trimmed", "an edit list that hides the first frames"],
    ["late", "video that starts after the sound"],
    ["matroska", "Matroska"],
    ["transport", "an MPEG transport stream"],
    ["open", "open groups of pictures"],
    ["tenBit", "10 bits"],
    ["motionJpeg", "motion JPEG in AVI"],
  ] as const;
  it.each(kinds)("%s: %s", async (kind) => {
    const facts = await media().inspect(clips[kind]);
    const probed = await probeFrames(clips[kind]);
    expect(facts.pts).toEqual(probed.map(([ticks]) => ticks));
    expect(facts.keyFrames).toEqual(probed.flatMap(([, isKey], i) => (isKey ? [i] : [])));
    expect(ClipFactsSchema.parse(facts)).toEqual(facts);
  });

  it("untimed: H.264 in AVI, whose packets carry no presentation times, as far as ffprobe knows any", async () => {
    const facts = await media().inspect(clips.untimed);
    const probed = (await probeFrames(clips.untimed)).map(([ticks]) => ticks);
    // The two frames the decoder held back for B-frames leave it at the end of the file with no time at all.
    const known = probed.filter((ticks) => !Number.isNaN(ticks));
    expect(known.length).toBe(probed.length - 2);
    expect(facts.pts).toHaveLength(probed.length);
    expect(facts.pts.slice(0, known.length)).toEqual(known);
    expect(facts.keyFrames).toEqual([0]);
  });

  it("HEVC, or says that this ffmpeg has no encoder to make the clip with", async () => {
    if (!(await canEncode("libx265"))) {
      console.warn("no HEVC clip was tested: this ffmpeg cannot encode HEVC");
      return;
    }
    const params = ["-c:v", "libx265", "-preset", "ultrafast", "-x265-params", "log-level=none:keyint=24"];
    const clip = await makeClip(join(folder, "hevc.mp4"), [...params, "-pix_fmt", "yuv420p10le"]);
    const facts = await media().inspect(clip);
    expect(facts.pts).toEqual((await probeFrames(clip)).map(([ticks]) => ticks));
    expect(facts).toMatchObject({ codec: "hevc", pixelFormat: "yuv420p10le", bitDepth: 10 });
  });
});

describe("inspect gives the facts of a clip", () => {
  it("says size, codec, depth, duration, rates and the capture-rate tag of a plain clip", async () => {
    const facts = await media().inspect(clips.plain);
    const said: Partial<ClipFacts> = {
      name: "plain.mp4",
      codec: "h264",
      pixelFormat: "yuv420p",
      bitDepth: 8,
      codedWidth: WIDTH,
      codedHeight: HEIGHT,
      pixelAspect: [1, 1],
      rotationDeg: 0,
      width: WIDTH,
      height: HEIGHT,
      captureRateHz: 240,
      constantRate: true,
      keyFrames: [0, 24, 48, 72],
      startS: 0,
    };
    expect(facts).toMatchObject(said);
    expect(facts.container).toContain("mp4");
    expect(facts.durationS).toBeCloseTo(FRAMES / 30, 9);
    expect(facts.playbackRateHz).toBeCloseTo(30, 9);
    expect(timestampsS(facts)[30]).toBe(1);
  });

  it("gives the ticks a variable-rate clip was made with, and calls it not constant", async () => {
    const facts = await media().inspect(clips.variable);
    expect(facts.timeBase).toEqual([1, 90000]);
    expect(facts.pts).toEqual(Array.from({ length: FRAMES }, (_, k) => variableTicks(k)));
    expect(facts.constantRate).toBe(false);
  });

  it("turns a phone's upright matrix into a clockwise 90 degrees and swaps the sides", async () => {
    expect(await media().inspect(clips.turned)).toMatchObject({
      rotationDeg: 90,
      codedWidth: WIDTH,
      codedHeight: HEIGHT,
      width: HEIGHT,
      height: WIDTH,
    });
  });

  it("widens the picture by the pixel aspect", async () => {
    // 160x96 shown at 20:9 has pixels of (20/9)/(160/96) = 4:3.
    const facts = await media().inspect(clips.wide);
    expect(facts).toMatchObject({ pixelAspect: [4, 3], width: 213, height: HEIGHT });
  });

  it("gives null for a capture rate that no tag tells, and the depth of 10-bit video", async () => {
    expect(await media().inspect(clips.tenBit)).toMatchObject({ captureRateHz: null, bitDepth: 10 });
  });

  it("keeps the start that seeking is relative to when the sound starts first", async () => {
    const facts = await media().inspect(clips.late);
    expect(timestampsS(facts)[0]).toBeGreaterThan(0.69);
    expect(facts.startS).toBeLessThan(0.05);
  });

  it("takes one lone frame, which lasts as long as the container says", async () => {
    const clip = await makeClip(join(folder, "one.mp4"), H264, 1);
    const facts = await media().inspect(clip);
    expect(facts.pts).toHaveLength(1);
    expect(facts.playbackRateHz).toBeCloseTo(30, 6);
    expect(facts.durationS).toBeGreaterThan(0);
  });

  it("tells progress that ends at 1", async () => {
    const fractions: number[] = [];
    await media().inspect(clips.plain, { onProgress: ({ fraction }) => fractions.push(fraction) });
    expect(fractions.at(-1)).toBe(1);
    expect(fractions.every((fraction) => fraction >= 0 && fraction <= 1)).toBe(true);
  });
});
