import { describe, expect, it } from "vitest";
import { createFollower, followPoint } from "../../../src/shared/follow/follow-point.ts";
import { endSays, marksOf, repeatsSay } from "../../../src/shared/follow/follow-words.ts";
import type { Followed, HandMark } from "../../../src/shared/follow/followed.ts";
import type { GreyImage } from "../../../src/shared/follow/grey-image.ts";
import { FLOOR_PX, SHOWN_FLOOR_PX } from "../../../src/shared/follow/run-marks.ts";
import { draw, drawBall, drawSpot, HEIGHT, type Seen, WIDTH } from "./moving-target.ts";

/** At rest for five frames, then pushed to the right and up while it turns: 0.35 px a frame squared. */
function motion(k: number): Seen {
  const t = Math.max(0, k - 5);
  return { x: 40.3 + 0.175 * t * t, y: 100.8 - 0.07 * t * t, turn: 0.004 * t };
}

const LAST = 34;
const frames = (from: number, to: number) =>
  Array.from({ length: Math.abs(to - from) }, (_, i) => from + (to > from ? i + 1 : -i - 1));
const film = (seen: (k: number) => Seen | readonly Seen[], sd = 1) => {
  const drawn = new Map<number, GreyImage>();
  return (k: number) => {
    const targets = [seen(k)].flat();
    const image = drawn.get(k) ?? draw(targets, 100 + k, sd);
    drawn.set(k, image);
    return image;
  };
};
const hand = (frame: number, { x, y }: Seen, u = 0.4): HandMark => ({ frame, at: [x, y], u });
const clip = film(motion);

/** Root mean square over both coordinates of mark less truth, in px and in the mark's own u. */
function errors(followed: Followed, truth: (k: number) => Seen) {
  const marks = marksOf(followed);
  let [px, chi] = [0, 0];
  for (const { frame, at, u } of marks) {
    const square = ((at[0] - truth(frame).x) ** 2 + (at[1] - truth(frame).y) ** 2) / 2;
    px += square / marks.length;
    chi += square / u ** 2 / marks.length;
  }
  return { px: Math.sqrt(px), chi: Math.sqrt(chi) };
}

describe("followPoint on a target that is pushed off and turns, one grey level of noise", () => {
  it("follows every frame from one mark, to a fortieth of a pixel, and no u is under the floor", () => {
    const followed = followPoint(clip, hand(0, motion(0)), frames(0, LAST));
    expect(followed.end).toBeNull();
    expect(marksOf(followed).map(({ frame }) => frame)).toEqual(frames(0, LAST));
    const { px, chi } = errors(followed, motion);
    expect(px).toBeLessThan(0.025);
    expect(chi).toBeLessThan(1); // nothing here was compressed, which the floor allows for
    for (const mark of marksOf(followed)) {
      expect(mark.u).toBeGreaterThanOrEqual(SHOWN_FLOOR_PX);
      expect(mark.u).toBeLessThan(0.06); // the rim of the disc shows the scene, which is allowed for
      expect([mark.renewals, mark.repeat, mark.doubts]).toEqual([0, false, []]);
    }
  });

  it("states no less than half a coder's step where the run is too short to show its scatter", () => {
    for (const { u } of marksOf(followPoint(clip, hand(0, motion(0)), frames(0, 8)))) {
      expect(u).toBeGreaterThanOrEqual(FLOOR_PX);
    }
  });

  it("carries an error of the seed to every frame, fixed to the body, and says so as what they share", () => {
    const off = [0.31, -0.22] as const;
    const seed: HandMark = { frame: 0, at: [motion(0).x + off[0], motion(0).y + off[1]], u: 0.4 };
    const followed = followPoint(clip, seed, frames(0, LAST));
    expect(followed.runs[0]!.commonU).toBe(0.4);
    for (const { frame, at } of marksOf(followed)) {
      const { x, y, turn } = motion(frame);
      const [c, s] = [Math.cos(turn!), Math.sin(turn!)];
      expect(
        Math.hypot(at[0] - x - c * off[0] + s * off[1], at[1] - y - s * off[0] - c * off[1]),
      ).toBeLessThan(0.1);
    }
  });

  it("goes backwards as well", () => {
    const followed = followPoint(clip, hand(LAST, motion(LAST)), frames(LAST, 0));
    expect(followed.end).toBeNull();
    expect(marksOf(followed)).toHaveLength(LAST);
    expect(errors(followed, motion).px).toBeLessThan(0.025);
  });

  it("is not moved by the light: gain 0.7 and 30 grey levels more, fading in", () => {
    const dimmed = (k: number) => ({ ...motion(k), gain: 1 - 0.3 * (k / LAST), bias: 30 * (k / LAST) });
    const followed = followPoint(film(dimmed), hand(0, motion(0)), frames(0, LAST));
    expect(followed.end).toBeNull();
    expect(errors(followed, motion).px).toBeLessThan(0.03);
  });

  it("follows a round spot, which does not tell how far it has turned", () => {
    const spot = (k: number) => drawSpot(60.2 + 0.2 * k * k, 70.7, 500 + k);
    const followed = followPoint(spot, { frame: 0, at: [60.2, 70.7], u: 0.4 }, frames(0, 20));
    expect(followed.end).toBeNull();
    const last = marksOf(followed).at(-1)!;
    expect([last.at[0], last.at[1]]).toEqual([expect.closeTo(60.2 + 80, 1), expect.closeTo(70.7, 1)]);
  });
});

describe("followPoint on a body larger than the smallest disc", () => {
  it("follows a smooth ball by its outline, marked off its middle, and does not slide over its shading", () => {
    const at = (k: number): Seen => ({ x: 60.2 + 0.12 * k * k, y: 70.7 });
    const seed: HandMark = { frame: 0, at: [61.4, 69.9], u: 0.4 };
    const followed = followPoint((k) => drawBall(at(k).x, at(k).y, 23, 700 + k), seed, frames(0, 30));
    expect(followed.end).toBeNull();
    expect(followed.runs[0]!.radiusPx).toBeGreaterThanOrEqual(23);
    for (const { frame, at: mark } of marksOf(followed)) {
      expect(Math.abs(mark[0] - 1.2 - at(frame).x)).toBeLessThan(0.4);
      expect(Math.abs(mark[1] + 0.8 - at(frame).y)).toBeLessThan(0.4);
    }
  });

  it("takes the smallest disc where that shows enough, and the given one where a person chose", () => {
    const radiusOf = (options: { radiusPx?: number }) =>
      followPoint(clip, hand(0, motion(0)), frames(0, 2), [], options).runs[0]!.radiusPx;
    expect(radiusOf({})).toBe(12);
    expect(radiusOf({ radiusPx: 17 })).toBe(17);
  });

  it("refuses a given disc that holds nothing but shading, and says so", () => {
    const one = followPoint((k) => drawBall(60 + k, 70, 23, k), { frame: 0, at: [60, 70], u: 0.4 }, [1], [], {
      radiusPx: 18,
    });
    expect(one.end).toEqual({ why: "shaded", frame: 0, number: 0 });
    expect(endSays(one.end!, "ball").cause).toContain("only light that falls off evenly");
  });
});

describe("followPoint with hand marks on the way", () => {
  const bad = (frame: number, dx: number, u = 0.4): HandMark => ({
    frame,
    at: [motion(frame).x + dx, motion(frame).y],
    u,
  });

  it("leaves their frames to them, and moves the whole run to the mean of those that agree", () => {
    const hands = [bad(0, 0.6), bad(12, -0.3), bad(20, -0.3)];
    const followed = followPoint(clip, hands[0]!, frames(0, LAST), hands);
    expect(marksOf(followed).map(({ frame }) => frame)).toEqual(
      frames(0, LAST).filter((k) => k !== 12 && k !== 20),
    );
    expect(followed.runs).toHaveLength(1);
    expect(followed.runs[0]!.commonU).toBeCloseTo(0.4 / Math.sqrt(3), 2);
    expect(followed.runs[0]!.handFrames).toEqual([0, 12, 20]);
    // The three errors cancel: (0.6 - 0.3 - 0.3)/3, before the two frames as after them.
    expect(errors(followed, motion).px).toBeLessThan(0.03);
    expect(followed.met.map(({ frame, agrees }) => [frame, agrees])).toEqual([
      [12, true],
      [20, true],
    ]);
    // 0.3 px from a mean that it is itself a third of: 0.3/(0.4 √(1 - 1/3)).
    expect(followed.met[0]!.distancePx).toBeCloseTo(0.3, 1);
    expect(followed.met[0]!.distanceU).toBeCloseTo(0.3 / (0.4 * Math.sqrt(2 / 3)), 0);
  });

  it("names a misclick, with its distance in u, and is not led off by it", () => {
    const hands = [bad(0, 0), bad(15, 8)];
    const followed = followPoint(clip, hands[0]!, frames(0, LAST), hands);
    expect(followed.met).toEqual([
      {
        frame: 15,
        agrees: false,
        begins: false,
        distancePx: expect.closeTo(8, 0),
        distanceU: expect.closeTo(14.1, 0),
      },
    ]);
    expect(errors(followed, motion).px).toBeLessThan(0.03);
  });

  it("outvotes a misclicked seed as soon as two others agree", () => {
    const hands = [bad(0, 5), bad(10, 0.1), bad(20, -0.1)];
    const followed = followPoint(clip, hands[0]!, frames(0, LAST), hands);
    expect(followed.runs[0]!.handFrames).toEqual([10, 20]);
    expect(followed.met.map(({ frame, agrees }) => [frame, agrees])).toEqual([
      [0, false],
      [10, true],
      [20, true],
    ]);
    expect(errors(followed, motion).px).toBeLessThan(0.1);
  });

  it("begins a new run at a hand mark in a frame where it has lost the point", () => {
    const jump = (k: number): Seen => (k < 15 ? motion(k) : { ...motion(k), x: motion(k).x + 90 });
    const film2 = film(jump);
    const hands = [hand(0, jump(0)), hand(15, jump(15))];
    const lost = followPoint(film2, hands[0]!, frames(0, 24), [hands[0]!]);
    expect(lost.end).toMatchObject({ why: "beyond", frame: 15 });
    const followed = followPoint(film2, hands[0]!, frames(0, 24), hands);
    expect(followed.end).toBeNull();
    expect(followed.runs.map(({ handFrames, marks }) => [handFrames, marks.length])).toEqual([
      [[0], 14],
      [[15], 9],
    ]);
    expect(errors(followed, jump).px).toBeLessThan(0.03);
  });
});

describe("followPoint where the picture is shown again", () => {
  it("keeps the place in exact and in newly coded repeats, and is not thrown off by them", () => {
    const shown = (k: number) => (k % 6 === 5 ? k - 1 : k);
    for (const again of ["exact", "coded anew"] as const) {
      const one = film((k) => motion(shown(k)));
      const imageOf = again === "exact" ? (k: number) => one(shown(k)) : one;
      const followed = followPoint(imageOf, hand(0, motion(0)), frames(0, LAST));
      expect(followed.end).toBeNull();
      // At rest a repeat is like any other frame.
      expect(
        marksOf(followed)
          .filter(({ repeat }) => repeat)
          .map(({ frame }) => frame),
        again,
      ).toEqual([11, 17, 23, 29]);
      expect(errors(followed, (k) => motion(shown(k))).px).toBeLessThan(0.03);
    }
  });
});

describe("followPoint on a point that stops", () => {
  /** Four pixels a frame, then it stands against a stop. */
  const stopped = (k: number): Seen => ({ x: 60.2 + 4 * Math.min(k, 12), y: 70.6, turn: 0.1 });

  it("stays with it, and takes no frame of it for a repeat", () => {
    for (const imageOf of [film(stopped), (k: number) => film(stopped)(Math.min(k, 12))]) {
      const followed = followPoint(imageOf, hand(0, stopped(0)), frames(0, LAST));
      expect(followed.end).toBeNull();
      expect(marksOf(followed)).toHaveLength(LAST);
      expect(marksOf(followed).some(({ repeat }) => repeat)).toBe(false);
      expect(errors(followed, stopped).px).toBeLessThan(0.03);
    }
  });

  it("stays with one that hardly moves, whatever its expected place jitters by", () => {
    const slow = (k: number): Seen => ({ x: 60.2 + 0.12 * k + (k % 9 === 4 ? 1.1 : 0), y: 70.6, turn: 0.1 });
    const followed = followPoint(film(slow), hand(0, slow(0)), frames(0, LAST));
    expect(followed.end).toBeNull();
    expect(errors(followed, slow).px).toBeLessThan(0.03);
    expect(repeatsSay(followed)).toBeNull();
  });
});

describe("followPoint when the point changes its looks", () => {
  const changing = (k: number): Seen => ({ ...motion(k), change: Math.min(1, k / 30) });

  it("goes on with newer templates, and its u grows with each, as far as the place may have drifted", () => {
    const followed = followPoint(film(changing), hand(0, motion(0)), frames(0, LAST));
    expect(followed.end).toBeNull();
    const marks = marksOf(followed);
    expect(marks[3]!.renewals).toBe(0);
    const last = marks.at(-1)!;
    expect(last.renewals).toBeGreaterThan(0);
    expect(last.u).toBeGreaterThan(marks[3]!.u);
    expect(errors(followed, motion).chi).toBeLessThan(2);
  });
});

describe("followPoint says why it ends", () => {
  const end = (imageOf: (k: number) => GreyImage, seed: HandMark, last = LAST, options = {}) =>
    followPoint(imageOf, seed, frames(seed.frame, last), [], options).end;

  it("left: it goes out of the picture", () => {
    const off = (k: number): Seen => ({ x: 200 + 3 * k, y: 70 });
    const found = end(film(off), hand(0, off(0)))!;
    expect(found.why).toBe("left");
    expect(off(found.frame).x).toBeGreaterThan(WIDTH - 14);
    expect(off(found.frame - 1).x).toBeLessThan(WIDTH - 9);
  });

  it("beyond: something hides it", () => {
    const hidden = (k: number) => (k < 12 ? [motion(k)] : []);
    expect(end(film(hidden), hand(0, motion(0)))).toMatchObject({ why: "beyond", frame: 12, number: 64 });
  });

  it("unlike: it turns into something else at once", () => {
    const other = (k: number): Seen => ({ ...motion(k), change: k < 9 ? 0 : 1 });
    const found = end(film(other), hand(0, motion(0)))!;
    expect(found.frame).toBe(9);
    expect(["unlike", "beyond"]).toContain(found.why);
  });

  it("two-alike: another of its kind is as near to where it is expected", () => {
    const pair = (k: number): readonly Seen[] =>
      k < 8
        ? [{ x: 90 + 2 * k, y: 70 }]
        : [
            { x: 75 + 2 * k, y: 70 },
            { x: 105 + 2 * k, y: 70 },
          ];
    expect(end(film(pair), hand(0, { x: 90, y: 70 }))).toMatchObject({ why: "two-alike", frame: 8 });
    expect(end(film(pair), hand(0, { x: 90, y: 70 }))!.number).toBeCloseTo(30, 0);
  });

  it("blurred: it moves too far while the shutter is open, which the exposure tells", () => {
    const fast = (k: number): Seen => ({ x: 20 + 0.6 * k * k, y: 70, blurPx: Math.max(0, k - 6) * 5 });
    const found = end(film(fast), hand(0, fast(0)), 16, { exposureShare: 0.9 })!;
    expect(found.why).toBe("blurred");
    expect(found.number).toBeGreaterThan(6);
    expect(["unlike", "beyond", "faded"]).toContain(end(film(fast), hand(0, fast(0)), 16)!.why);
  });

  it("faded: its contrast is gone", () => {
    const dim = (k: number): Seen => ({ ...motion(k), gain: k < 10 ? 1 : 0.25, bias: k < 10 ? 0 : 95 });
    const found = end(film(dim, 0.5), hand(0, motion(0)))!;
    expect(found).toMatchObject({ why: "faded", frame: 10 });
    expect(found.number).toBeCloseTo(0.25, 1);
  });

  it("no-detail: nothing around the mark fixes a place, nor does a straight edge", () => {
    const flat: GreyImage = { data: new Uint8Array(WIDTH * HEIGHT).fill(90), width: WIDTH, height: HEIGHT };
    const edge: GreyImage = { ...flat, data: flat.data.map((_, i) => (i % WIDTH < 100 ? 60 : 180)) };
    for (const image of [flat, edge]) {
      const follower = createFollower(image, { frame: 3, at: [100, 70], u: 0.4 });
      expect(follower.followed().end).toEqual({ why: "no-detail", frame: 3, number: 0 });
      expect(follower.see(4, image)).toEqual({ why: "no-detail", frame: 3, number: 0 });
    }
  });

  it("edge: the mark is nearer to the picture's edge than its disc reaches", () => {
    expect(end(clip, { frame: 0, at: [11, 70], u: 0.4 })).toEqual({ why: "edge", frame: 0, number: 0 });
  });
});

describe("followPoint and doubt", () => {
  it("says that a mark is off the course it was on", () => {
    const kicked = (k: number): Seen => (k < 20 ? motion(k) : { ...motion(k), y: motion(k).y + 9 });
    const followed = followPoint(film(kicked), hand(0, motion(0)), frames(0, 26));
    const doubtful = marksOf(followed).filter(({ doubts }) => doubts.length > 0);
    expect(doubtful[0]).toMatchObject({ frame: 20, doubts: ["off-course"] });
    expect(errors(followed, kicked).px).toBeLessThan(0.03); // it is where it is, all the same
  });
});

describe("the follower's words", () => {
  it("name one repeated frame and several, each in a whole sentence", () => {
    const marks = (count: number) =>
      Array.from({ length: count }, (_, k) => ({
        ...{ frame: 20 + k, at: [1, 2] as const, u: 0.1, likeness: 1, repeat: true, renewals: 0 },
        doubts: [],
      }));
    const of = (count: number): Followed => ({
      ...{ runs: [{ marks: marks(count), radiusPx: 12, handFrames: [0], commonU: 0.4 }], met: [], end: null },
    });
    expect(repeatsSay(of(1))).toMatch(/^Frame 20 shows the picture before it again/);
    expect(repeatsSay(of(2))).toMatch(/^Frames 20, 21 show the picture before them again/);
  });

  it("say what to do in words that hold forwards and backwards, and no likeness that is enough as too little", () => {
    const unlike = endSays({ why: "unlike", frame: 9, number: 0.71 }, "nose");
    expect(unlike.cause).toContain("0.71");
    expect(unlike.remedy).toBe(
      "Mark the nose by hand in frame 9, or in the next one that shows it, and follow on from there.",
    );
    const restless = endSays({ why: "unsettled", frame: 9, number: 0.98 }, "nose");
    expect(restless).toMatchObject({
      code: "follow-unsettled",
      cause: expect.not.stringContaining("too little"),
    });
  });
});
