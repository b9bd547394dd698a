import { describe, expect, it } from "vitest";
import { MOTION_NOTICES } from "../../../../src/shared/results/notices/motion-notices.ts";

const told = (...marks: (readonly [pointId: string, frame: number])[]) =>
  MOTION_NOTICES["marks-set-aside"](marks.map(([name, frame]) => ({ name, frame }))).cause;

describe("marks-set-aside", () => {
  it("names a point's successive frames as one stretch", () => {
    expect(told(["nose", 12])).toBe("One mark does not fit the motion and was left out: nose in frame 12.");
    expect(told(["nose", 41], ["tail", 7], ["nose", 40], ["nose", 42], ["nose", 44])).toBe(
      "5 marks do not fit the motion and were left out: nose in frames 40 to 42 and 44, tail in frame 7.",
    );
  });

  it("names six stretches at most", () => {
    const marks = Array.from({ length: 9 }, (_, i) => ["nose", 10 * i] as const);
    expect(told(...marks)).toMatch(/nose in frames 0, 10, 20, 30, 40 and 50 and others\.$/);
  });
});
