import { expect, it } from "vitest";
import { runFor } from "../../../src/main/media/grey-frames.ts";

/** 1080p of 8 bits: 289 frames are 600 MB. */
const clip = (keyFrames: number[]) => ({
  keyFrames,
  width: 1920,
  height: 1080,
  pixelFormat: "yuv420p",
  bitDepth: 8,
});
const nothing = () => false;

it("decodes ahead to the end, or to the frame before a key frame where the end is too far", () => {
  expect(runFor(clip([0, 240]), 10, 200, nothing)).toEqual({ from: 10, to: 200 });
  expect(runFor(clip([0, 240, 480]), 10, 900, nothing)).toEqual({ from: 10, to: 239 });
  expect(runFor(clip([0]), 10, 900, nothing)).toEqual({ from: 10, to: 298 });
});

it("stops before a frame that is there", () => {
  expect(runFor(clip([0]), 10, 200, (frame) => frame === 31)).toEqual({ from: 10, to: 30 });
  expect(runFor(clip([0]), 100, 0, (frame) => frame === 60)).toEqual({ from: 61, to: 100 });
});

it("keeps what is decoded on the way from the key frame, as far back as is asked", () => {
  expect(runFor(clip([0, 50]), 80, 120, nothing, 0)).toEqual({ from: 50, to: 120 });
  expect(runFor(clip([0, 50]), 80, 120, nothing, 70)).toEqual({ from: 70, to: 120 });
  expect(runFor(clip([0, 50]), 80, 120, nothing)).toEqual({ from: 80, to: 120 });
});

it("decodes back to a key frame, of short groups to one two dozen frames before", () => {
  expect(runFor(clip([0, 50, 90]), 80, 0, nothing)).toEqual({ from: 50, to: 80 });
  expect(runFor(clip([0, 10, 20, 30, 40, 50]), 50, 0, nothing)).toEqual({ from: 20, to: 50 });
  expect(runFor(clip([0]), 400, 0, nothing)).toEqual({ from: 112, to: 400 });
});
