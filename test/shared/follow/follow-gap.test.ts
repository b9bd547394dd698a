import { describe, expect, it } from "vitest";
import { followPoint } from "../../../src/shared/follow/follow-point.ts";
import { doubtsSay, followedSays, marksOf } from "../../../src/shared/follow/follow-words.ts";
import type { GreyImage } from "../../../src/shared/follow/grey-image.ts";
import { draw, type Seen, WIDTH } from "./moving-target.ts";

const frames = (to: number) => Array.from({ length: to }, (_, i) => i + 1);
const moving = (k: number): Seen => ({ x: 30.3 + 5 * k, y: 70.6, turn: 0.1 });
const seed = (x: number) => ({ frame: 0, at: [x, 70.6] as const, u: 0.3 });

/** A post over the columns from `left` to `right`. */
function behind(image: GreyImage, left: number, right: number): GreyImage {
  return {
    ...image,
    data: Uint8Array.from(image.data, (grey, i) => (i % WIDTH >= left && i % WIDTH < right ? 70 : grey)),
  };
}
const off = (at: readonly [number, number], { x, y }: Seen) => Math.hypot(at[0] - x, at[1] - y);

describe("followPoint after a gap", () => {
  it("goes on behind a post where the motion leads, and has the first mark looked at", () => {
    const followed = followPoint((k) => behind(draw([moving(k)], 300 + k), 110, 145), seed(30.3), frames(34));
    expect(followed.end).toBeNull();
    expect(followed.runs).toHaveLength(1);
    const marks = marksOf(followed);
    expect(marks.at(-1)!.frame).toBe(34);
    expect(marks.length).toBeLessThan(34);
    expect(marks.every((mark) => off(mark.at, moving(mark.frame)) < 0.5)).toBe(true);
    const after = marks.filter(({ doubts }) => doubts.includes("after-gap"));
    expect(after).toHaveLength(1);
    expect(doubtsSay(after[0]!)).toContain("the first after frames in which it was not seen");
    expect(followedSays(followed)).toContain(`In ${34 - marks.length} frames between them it was not seen.`);
  });

  it("ends where it was lost when it does not come back, after thirty frames at most", () => {
    let shown = 0;
    const followed = followPoint(
      (k) => {
        shown = k;
        return draw(k < 10 ? [moving(k)] : [], 400 + k);
      },
      seed(30.3),
      frames(60),
    );
    expect(followed.end).toMatchObject({ why: "beyond", frame: 10 });
    expect(shown).toBe(10 + 30);
  });

  it("does not take up a thing like it that stands in the scene", () => {
    const still: Seen = { x: 170.2, y: 70.6, turn: 0.1 };
    // It vanishes behind a post and stays there; beyond stands its twin, where the motion would have
    // brought it.
    const at = (k: number) => draw(k < 18 ? [still, moving(k)] : [still], 500 + k);
    const followed = followPoint((k) => behind(at(k), 110, 145), seed(30.3), frames(40));
    expect(followed.end).not.toBeNull();
    expect(
      marksOf(followed).every((mark) => off(mark.at, moving(mark.frame)) < 1 || mark.doubts.length > 0),
    ).toBe(true);
    expect(Math.max(...marksOf(followed).map(({ at: [x] }) => x))).toBeLessThan(120);
  });
});

describe("followPoint among things that are alike", () => {
  const row = (first: number) => [-2, -1, 0, 1, 2].map((i): Seen => ({ x: first + 40 * i, y: 70.6 }));
  const follow = (speed: number) =>
    followPoint((k) => draw(row(100.3 + speed * k), 600 + k), seed(100.3), frames(6));

  it("is sure of one that starts slowly, by which the others are told apart", () => {
    expect(marksOf(follow(2)).map(({ doubts }) => doubts)).toEqual(frames(6).map(() => []));
  });

  it("says of every mark that it may be its neighbour where the first step may lead to either", () => {
    const marks = marksOf(follow(34)); // seen as 6 px the other way
    expect(marks.length).toBeGreaterThan(0);
    expect(marks.every(({ doubts }) => doubts.includes("twin"))).toBe(true);
    expect(doubtsSay(marks[0]!)).toContain("another thing like it is near");
  });

  it("is no jump to a neighbour when the point itself is gone", () => {
    // From the eighth frame on the followed one is painted over: its neighbours move on.
    const at = (k: number) => {
      const all = row(100.3 + 2 * k);
      return draw(k < 8 ? all : all.filter((_, i) => i !== 2), 700 + k);
    };
    const followed = followPoint(at, seed(100.3), frames(20));
    expect(marksOf(followed).map(({ frame }) => frame)).toEqual(frames(7));
    expect(followed.end).toMatchObject({ frame: 8 });
  });
});
