import { describe, expect, it } from "vitest";
import { complains, decodeReport } from "../../../src/main/media/decode-report.ts";
import { spoiltFrames } from "../../../src/main/media/spoilt-frames.ts";

const packet = (pts: number) =>
  `[info] demuxer+ffmpeg -> ist_index:0 type:video pkt_pts:${pts} pkt_pts_time:1 pkt_dts:0`;
const picture = (pts: number) =>
  `[info] decoder -> ist_index:0 type:video frame_pts:${pts} frame_pts_time:1 best_effort_ts:${pts} keyframe:0`;
const MOV = "mov,mp4,m4a,3gp,3g2,mj2";
const text = [
  "[h264 @ 0x1] [error] said while the file was being opened",
  "[info] Stream mapping:",
  packet(0),
  packet(300),
  "[h264 @ 0x1] [error] error while decoding MB 4 8, bytestream -5",
  picture(0),
  "[NULL @ 0x2] [error] Invalid NAL unit size (25 > 14).",
  packet(100),
  `[${MOV} @ 0x3] [error] a part cannot be read`,
  packet(200),
  "[warning] clip.mp4: corrupt decoded frame in stream 0",
  picture(100),
  `[${MOV} @ 0x3] [error] stream 0, offset 0x114f: partial file`,
  "",
].join("\n");

describe("decodeReport", () => {
  it("gives each complaint to the packet or picture it is about", () => {
    const { packets, pictures, findings } = decodeReport(text, MOV, true);
    expect(packets).toEqual([0, 300, 100, 200]);
    expect(pictures).toEqual([0, 100]);
    expect(findings.map(({ about, at }) => [about, at])).toEqual([
      ["packet", 1],
      ["packet", 2],
      ["lost-before", 3],
      ["picture", 100],
    ]);
    expect(findings[0]?.text).toBe("error while decoding MB 4 8, bytestream -5");
  });

  it("suspects every packet whose picture has not come, where reader and decoder do not go step by step", () => {
    const { findings } = decodeReport(text, MOV, false);
    const decoder = findings.filter(({ text: says }) => says.startsWith("error while decoding"));
    expect(decoder.map(({ at }) => at)).toEqual([0, 1, 2, 3]);
  });
});

it("complains tells errors and signs of corruption from what says nothing about a picture", () => {
  expect(complains("[swscaler @ 0x1] [warning] deprecated pixel format used")).toBe(false);
  expect(complains("[mjpeg @ 0x1] [error] unable to decode APP fields: Invalid data")).toBe(false);
  expect(complains("[h264 @ 0x1] [error] co located POCs unavailable")).toBe(true);
  expect(complains("[warning] a.ts: corrupt input packet in stream 0")).toBe(true);
  expect(complains("[h264 @ 0x1] [info] concealing 169 DC, 169 AC, 169 MV errors in B frame")).toBe(true);
  // What a clip's name and tags say is no complaint.
  expect(complains("[info] Input #0, mpegts, from 'file:/corrupt input packet.ts':")).toBe(false);
  expect(complains("[info]     comment         : [error] concealing 1 DC")).toBe(false);
});

describe("spoiltFrames", () => {
  // Decoded as 0 3 1 2 | 6 5 8 7: 0 and 6 are key frames, 5 is shown before 6 and decoded after
  // it, 1 2 5 7 serve no other.
  const decoding = {
    order: [0, 3, 1, 2, null, 6, 5, 8, 7],
    isKey: (frame: number) => frame === 0 || frame === 6,
    isReference: (frame: number) => ![1, 2, 5, 7].includes(frame),
  };
  const keys = (spoilt: ReadonlyMap<number, string>) => [...spoilt.keys()].sort((a, b) => a - b);

  it("takes one that serves no other alone", () => {
    expect(keys(spoiltFrames(decoding, new Map([[1, "x"]]), new Map()))).toEqual([1]);
  });
  it("takes all that follows a reference up to the next key frame, and what is shown before that", () => {
    const spoilt = spoiltFrames(decoding, new Map([[3, "x"]]), new Map());
    expect(keys(spoilt)).toEqual([1, 2, 3, 5]);
    expect(spoilt.get(5)).toContain("frame 3, which is damaged");
  });
  it("takes all from a gap on, and nothing when a key frame comes next", () => {
    expect(keys(spoiltFrames(decoding, new Map(), new Map([[8, "lost"]])))).toEqual([7, 8]);
    expect(keys(spoiltFrames(decoding, new Map(), new Map([[6, "lost"]])))).toEqual([]);
  });
});
