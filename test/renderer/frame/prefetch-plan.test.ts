import { expect, it } from "vitest";
import { blockOf, wantedFrames } from "../../../src/renderer/frame/prefetch-plan.ts";

it("wants the frame, then two ahead for each one behind, in the direction of travel", () => {
  expect(wantedFrames(50, 1, 100, 8)).toEqual([50, 51, 49, 52, 53, 48, 54, 55]);
  expect(wantedFrames(50, -1, 100, 5)).toEqual([50, 49, 51, 48, 47]);
});

it("stays inside the clip and ends when the clip is all wanted", () => {
  expect([...wantedFrames(0, 1, 5, 50)].sort()).toEqual([0, 1, 2, 3, 4]);
  expect([...wantedFrames(4, 1, 5, 50)].sort()).toEqual([0, 1, 2, 3, 4]);
});

it("blockOf gives the whole block around a frame, cut at the end of the clip", () => {
  expect(blockOf(100, 178, 48)).toEqual({ from: 96, to: 143 });
  expect(blockOf(177, 178, 48)).toEqual({ from: 144, to: 177 });
});
