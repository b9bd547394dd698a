import { describe, expect, it } from "vitest";
import { adler32 } from "../../../src/main/media/adler32.ts";
import { bitDepthOf, parseBanner } from "../../../src/main/media/clip-banner.ts";
import { uprightSize } from "../../../src/main/media/clip-facts-of.ts";
import { parseFrameList } from "../../../src/main/media/frame-list.ts";

const BANNER = `Input #0, mov,mp4,m4a,3gp,3g2,mj2, from 'file:/clips/  Duration: 99:00:00.00, start: 5.0.mp4':
  Metadata:
    comment         : two lines
                    :   Duration: 88:00:00.00
    com.android.capture.fps: 240.000000
  Duration: 01:02:03.50, start: -0.021000, bitrate: 314 kb/s
  Stream #0:0[0x1]: Video: mjpeg (Baseline), yuvj420p(pc, bt470bg/unknown/unknown), 640x480, 90k tbr (attached pic)
  Stream #0:1[0x2](und): Video: hevc (Main 10) (hvc1 / 0x31637668), yuv420p10le(tv, bt709, progressive), 1440x1080 [SAR 1:1 DAR 4:3], 352 kb/s, SAR 4:3 DAR 16:9, 1k fps, 1k tbr, 15360 tbn (default)
    Side data:
      displaymatrix: rotation of -90.00 degrees
  Stream #0:2[0x3](und): Video: h264, yuv420p, 320x240, 25 fps
    Side data:
      displaymatrix: rotation of 180.00 degrees
Output #0, framecrc, to 'pipe:':
  Duration: 77:00:00.00, start: 1.0
`;

describe("parseBanner", () => {
  it.each([
    ["h264 (High), yuv420p(top first), 320x240", true],
    ["mpeg2video (Main), yuv420p(tv, bottom first), 320x240", true],
    ["h264 (High), yuv420p(tv, bt709, top coded first (swapped)), 320x240", true],
    ["dvvideo, yuv420p, 720x576", true],
    ["h264 (High), yuv420p(tv, bt709, progressive), 320x240", undefined],
    ["mjpeg (Baseline), yuvj420p, 320x240", undefined],
  ])("tells interlaced pictures: %s", (video, interlaced) => {
    const banner = parseBanner(
      `Input #0, mpegts, from 'file:a.mts':\n  Stream #0:0: Video: ${video}, 25 fps\n`,
    );
    expect(banner?.video?.interlaced).toBe(interlaced);
  });

  it("reads the first moving picture and its own side data, and is not misled by names and tags", () => {
    expect(parseBanner(BANNER)).toEqual({
      container: "mov,mp4,m4a,3gp,3g2,mj2",
      durationS: 3723.5,
      startS: -0.021,
      captureRateHz: 240,
      video: {
        codec: "hevc",
        pixelFormat: "yuv420p10le",
        size: [1440, 1080],
        pixelAspect: [4, 3],
        turnDeg: 90,
        rateHz: 1000,
      },
    });
  });
  it("tells of a missing picture, size and format by null", () => {
    expect(parseBanner("nothing was opened\n")).toBeNull();
    const odd = parseBanner(
      "Input #0, avi, from 'x':\n  Duration: N/A, start: 0.000000, bitrate: N/A\n  Stream #0:0: Video: none, none\n",
    );
    expect(odd).toMatchObject({ durationS: null, video: { codec: "none", pixelFormat: null, size: null } });
  });
});

it("bitDepthOf reads the depth off ffmpeg's pixel format names", () => {
  const depths = { yuv420p: 8, yuvj422p: 8, nv12: 8, gray: 8, yuv420p10le: 10, p010le: 10, yuv444p12be: 12 };
  const more = {
    gray16le: 16,
    rgb24: 8,
    rgb48le: 16,
    rgba64be: 16,
    bayer_rggb16le: 16,
    rgb565le: 5,
    nv20le: 10,
  };
  for (const [format, bits] of Object.entries({ ...depths, ...more })) {
    expect([format, bitDepthOf(format)]).toEqual([format, bits]);
  }
});

describe("parseFrameList", () => {
  it("drops packets that are never shown, sorts by time and tells key frames by their flags", () => {
    const list = parseFrameList(
      [
        "#tb 0: 1/15360",
        "0,      -1024,       -512,      512,     4844, 0xda9cf696, F=0x5",
        "0,       -512,       1536,      512,     1844, 0x981d95b3, F=0x0, S=1,        8",
        "0,          0,        512,      512,     1024, 0xd15cfada, S=1,        1",
        "1,          0,          3,      512,     1024, 0xd15cfada",
      ].join("\n"),
    );
    expect(list).toEqual({ timeBase: [1, 15360], pts: [512, 1536], keyFrames: [0], timed: true });
  });
  it("says when times are missing or twice the same", () => {
    const row = (pts: string) => `0, 0, ${pts}, 1, 10, 0x00000001`;
    expect(parseFrameList(`#tb 0: 1/30\n${row("-9223372036854775808")}`).timed).toBe(false);
    expect(parseFrameList(`#tb 0: 1/30\n${row("4")}\n${row("4")}`).timed).toBe(false);
  });
});

describe("uprightSize", () => {
  it("stretches the side that is too short and swaps the sides of a quarter turn", () => {
    expect(uprightSize([1440, 1080], [4, 3], 0)).toEqual([1920, 1080]);
    expect(uprightSize([720, 576], [16, 15], 90)).toEqual([576, 768]);
    expect(uprightSize([720, 480], [8, 9], 180)).toEqual([720, 540]);
    expect(uprightSize([1920, 1080], [1, 1], 270)).toEqual([1080, 1920]);
  });
});

describe("adler32", () => {
  it("gives the sum of RFC 1950 less its start at 1, worked by hand for three bytes", () => {
    // a: 1, 3, 6; b: 1, 4, 10
    expect(adler32(Uint8Array.of(1, 2, 3))).toBe((10 << 16) | 6);
  });
  it("stays right over long runs of the largest byte", () => {
    const n = 100_000;
    const a = (255 * n) % 65521;
    const b = Number(((255n * BigInt(n) * BigInt(n + 1)) / 2n) % 65521n);
    expect(adler32(new Uint8Array(n).fill(255))).toBe(((b << 16) | a) >>> 0);
  });
});
