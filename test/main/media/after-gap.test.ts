import { describe, expect, it } from "vitest";
import { framesAfterGap } from "../../../src/main/media/after-gap.ts";

const every = (count: number) => Array.from({ length: count }, (_, i) => 100 * i);

describe("framesAfterGap", () => {
  it("finds those from a gap to the next key frame, with the frame before the gap", () => {
    const pts = every(60).filter((ticks) => ticks !== 2900 && ticks !== 3000);
    const found = framesAfterGap({ pts, keyFrames: [0, 24, 36] });
    expect([...found]).toEqual(Array.from({ length: 7 }, (_, i) => [29 + i, 28]));
  });

  it("finds none in a clip of key frames alone, of one rate, or whose rate varies", () => {
    const pts = every(60).filter((ticks) => ticks !== 2900);
    expect(framesAfterGap({ pts, keyFrames: pts.map((_, i) => i) }).size).toBe(0);
    expect(framesAfterGap({ pts: every(60), keyFrames: [0] }).size).toBe(0);
    const varied = every(60).map((ticks, i) => ticks + ((37 * i * i) % 60));
    expect(framesAfterGap({ pts: varied, keyFrames: [0] }).size).toBe(0);
  });
});
