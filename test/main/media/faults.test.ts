import { chmod, mkdir, mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { createMedia } from "../../../src/main/media/create-media.ts";
import { parseFfmpegVersion } from "../../../src/main/media/ffmpeg-version.ts";
import { FaultError } from "../../../src/shared/quantity/notice.ts";
import { H264, makeClip } from "../../clips/make-clips.ts";
import { ffmpegPath, run } from "../../clips/program.ts";

let folder: string;
let clip: string;
const at = (name: string) => join(folder, name);
const media = (path: string | null = ffmpegPath()) =>
  createMedia({ ffmpegPath: path, cacheDir: at("cache") });

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), "loftmark-faults-"));
  clip = await makeClip(at("good.mp4"), H264);
});
afterAll(() => rm(folder, { recursive: true, force: true }));

/** The code of the fault a call ends with; the fault must speak in sentences and offer a remedy. */
async function faultOf(call: Promise<unknown>): Promise<string> {
  const error = await call.then(
    () => null,
    (reason: unknown) => reason,
  );
  expect(error).toBeInstanceOf(FaultError);
  const { code, cause, remedy } = (error as FaultError).fault;
  expect(cause).toMatch(/^\S.*[.]$/);
  expect(remedy).toMatch(/^[A-Z].*[.]$/);
  return code;
}

describe("inspect refuses what is no clip, each with its own fault", () => {
  it("clip-missing: a file that is not there", async () => {
    expect(await faultOf(media().inspect(at("gone.mp4")))).toBe("clip-missing");
  });
  it("interlaced: each frame two half pictures of different instants; what it advises gives one that is read", async () => {
    const source = [
      "-f",
      "lavfi",
      "-i",
      "testsrc=s=160x120:r=50:d=0.4",
      "-vf",
      "tinterlace=interleave_top,setfield=tff",
    ];
    const flags = ["-c:v", "mpeg2video", "-flags", "+ildct+ilme", "-q:v", "2"];
    await run(ffmpegPath(), ["-v", "error", "-y", ...source, ...flags, at("fields.mpg")]);
    expect(await faultOf(media().inspect(at("fields.mpg")))).toBe("interlaced");
    const split = ["-vf", "bwdif=mode=send_field", "-c:v", "libx264", "-crf", "4", at("split.mp4")];
    await run(ffmpegPath(), ["-v", "error", "-y", "-i", at("fields.mpg"), ...split]);
    const { pts, playbackRateHz } = await media().inspect(at("split.mp4"));
    expect(pts.length).toBeGreaterThanOrEqual(19);
    expect(playbackRateHz).toBeCloseTo(50, 6);
  });
  it("clip-empty: a file of no bytes", async () => {
    await writeFile(at("empty.mp4"), "");
    expect(await faultOf(media().inspect(at("empty.mp4")))).toBe("clip-empty");
  });
  it("not-a-video: a text, a folder, a picture, noise", async () => {
    await writeFile(at("notes.mp4"), "wind 2 m/s from the left\n".repeat(200));
    await mkdir(at("folder.mp4"));
    await run(ffmpegPath(), ["-v", "error", "-i", clip, "-frames:v", "1", at("still.png")]);
    await writeFile(
      at("noise.mov"),
      Uint8Array.from({ length: 5000 }, (_, i) => (i * 7919 + (i >> 3) * 31) & 255),
    );
    for (const name of ["notes.mp4", "folder.mp4", "still.png", "noise.mov"]) {
      expect(await faultOf(media().inspect(at(name)))).toBe("not-a-video");
    }
  });
  it("not-a-video: a play list that leads to another file", async () => {
    await writeFile(at("list.mp4"), "ffconcat version 1.0\nfile good.mp4\n");
    await writeFile(at("list.m3u8"), "#EXTM3U\n#EXTINF:3,\ngood.mp4\n#EXT-X-ENDLIST\n");
    expect(await faultOf(media().inspect(at("list.mp4")))).toBe("not-a-video");
    expect(await faultOf(media().inspect(at("list.m3u8")))).toBe("not-a-video");
  });
  it("clip-cut-off: an MP4 whose index at the end is missing", async () => {
    const whole = await readFile(clip);
    await writeFile(at("no-index.mp4"), whole.subarray(0, Math.floor(whole.length / 2)));
    expect(await faultOf(media().inspect(at("no-index.mp4")))).toBe("clip-cut-off");
  });
  it("no-video-stream: sound alone, also with a cover picture", async () => {
    const sound = ["-f", "lavfi", "-i", "sine=d=1"];
    await run(ffmpegPath(), ["-v", "error", ...sound, at("sound.mp4")]);
    await run(ffmpegPath(), ["-v", "error", "-i", clip, "-frames:v", "1", at("cover.jpg")]);
    const cover = ["-i", at("cover.jpg"), "-map", "0", "-map", "1", "-c:v", "copy"];
    await run(ffmpegPath(), [
      "-v",
      "error",
      ...sound,
      ...cover,
      "-disposition:v:0",
      "attached_pic",
      at("cover.mp4"),
    ]);
    expect(await faultOf(media().inspect(at("sound.mp4")))).toBe("no-video-stream");
    expect(await faultOf(media().inspect(at("cover.mp4")))).toBe("no-video-stream");
  });
  it("no-frames: a video with none", async () => {
    const from = ["-f", "lavfi", "-i", "color=s=64x64:r=30"];
    await run(ffmpegPath(), ["-v", "error", ...from, "-t", "0", "-c:v", "mjpeg", at("none.avi")]);
    expect(await faultOf(media().inspect(at("none.avi")))).toBe("no-frames");
  });
});

describe("the program itself", () => {
  it("ffmpeg-missing: none found, or not where it was said to be; nothing crashes", async () => {
    expect(await faultOf(media(null).inspect(clip))).toBe("ffmpeg-missing");
    expect(await faultOf(media(at("no-such-program")).inspect(clip))).toBe("ffmpeg-missing");
    const facts = await media().inspect(clip);
    expect(await faultOf(media(at("no-such-program")).frame(clip, facts, 3, "full"))).toBe("ffmpeg-missing");
  });
  it("ffmpeg-unusable: a file that cannot be run as ffmpeg", async () => {
    await writeFile(at("not-ffmpeg"), "nothing a system can run");
    await chmod(at("not-ffmpeg"), 0o755);
    expect(await faultOf(media(at("not-ffmpeg")).inspect(clip))).toBe("ffmpeg-unusable");
  });
  it("ffmpeg-too-old: below 4.4, told by the library number and not by the text", async () => {
    const printed = (text: string, avutil: string) =>
      `ffmpeg version ${text} Copyright (c) 2000-2020 the FFmpeg developers\nlibavutil      ${avutil}\n`;
    const old = async () => parseFfmpegVersion(printed("4.3.9-0", "56. 51.100 / 56. 51.100"), "ffmpeg");
    expect(await faultOf(old())).toBe("ffmpeg-too-old");
    expect(parseFfmpegVersion(printed("4.4.2", "56. 70.100 / 56. 70.100"), "x").hasFpsMode).toBe(false);
    expect(parseFfmpegVersion(printed("N-109", "57. 28.100 / 57. 28.100"), "x").hasFpsMode).toBe(true);
    expect(parseFfmpegVersion(printed("2024-05-02-git-71669f2ad5", "59. 16.101 / 59. 16.101"), "x")).toEqual({
      text: "2024-05-02-git-71669f2ad5",
      hasFpsMode: true,
      inStep: false,
    });
    const other = async () => parseFfmpegVersion("GNU bash, version 5.2", "bash");
    expect(await faultOf(other())).toBe("ffmpeg-unusable");
  });
});

describe("frame and extract refuse what they cannot give exactly", () => {
  it("no-such-frame: indices outside the clip, backwards or not whole", async () => {
    const facts = await media().inspect(clip);
    for (const index of [-1, 90, 1.5, Number.NaN]) {
      expect(await faultOf(media().frame(clip, facts, index, "full"))).toBe("no-such-frame");
    }
    expect(await faultOf(media().extract(clip, facts, 9, 3, "full"))).toBe("no-such-frame");
  });
  it("clip-changed: the file has another size than the facts say", async () => {
    const facts = await media().inspect(clip);
    const other = await makeClip(at("other.mp4"), H264, 20);
    expect(await faultOf(media().frame(other, facts, 3, "full"))).toBe("clip-changed");
  });
  it("frames-not-exact: times in the facts that the file does not have", async () => {
    const facts = await media().inspect(clip);
    const wrong = { ...facts, pts: facts.pts.map((ticks, i) => (i < 60 ? ticks : ticks + 7)) };
    expect(await faultOf(media().frame(clip, wrong, 70, "full"))).toBe("frames-not-exact");
  });
  it("cache-unwritable: a cache folder that cannot be", async () => {
    await writeFile(at("a-file"), "");
    const facts = await media().inspect(clip);
    const stuck = createMedia({ ffmpegPath: ffmpegPath(), cacheDir: join(at("a-file"), "cache") });
    expect(await faultOf(stuck.frame(clip, facts, 3, "full"))).toBe("cache-unwritable");
  });
  it("cancelled: a signal that was aborted before", async () => {
    const signal = AbortSignal.abort();
    const facts = await media().inspect(clip);
    expect(await faultOf(media().inspect(clip, { signal }))).toBe("cancelled");
    expect(await faultOf(media().frame(clip, facts, 3, "full", { signal }))).toBe("cancelled");
    expect(await faultOf(media().extract(clip, facts, 0, 9, "full", { signal }))).toBe("cancelled");
  });
});
