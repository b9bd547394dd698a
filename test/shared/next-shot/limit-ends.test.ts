import { describe, expect, it } from "vitest";
import { insideSpeeds, type LimitEnd, limitEnds } from "../../../src/shared/next-shot/limit-ends.ts";
import type { LimitCheck, LimitState } from "../../../src/shared/next-shot/limits.ts";

const RUN = Array.from({ length: 33 }, (_, i) => ({ x: i / 32, speed: 10 + i / 32 }));
const END: LimitEnd = { name: "load", from: 0.8, to: 1 };
const STEP = 5e-4; // of the range, 1

it.each([
  [0, 0],
  [1, 1],
  [7, 7],
  [30, 30],
])(
  "insideSpeeds moves a border that lies %i steps too far to the nearest that keeps, in a few tries",
  (off, steps) => {
    let tries = 0;
    const keeps = (x: number) => {
      tries++;
      return x <= END.from - (off - 0.5) * STEP;
    };
    const inside = insideSpeeds([RUN], [END], (x) => 10 + x, keeps)!;
    expect(inside.fastest.x).toBeCloseTo(END.from - steps * STEP, 12);
    expect(inside.fastest.bound).toEqual(["load"]);
    expect(tries).toBeLessThanOrEqual(16);
  },
);

it("insideSpeeds leaves out a border, and places of the curve, that do not keep when asked in full", () => {
  const farBelow = (x: number) => x < END.from - 0.1;
  const inside = insideSpeeds([RUN], [END], (x) => 10 + x, farBelow)!;
  expect(inside.fastest.bound).toEqual([]);
  const kept = RUN.filter(({ x }) => farBelow(x));
  expect(inside.fastest.x).toBe(kept.at(-1)!.x);
  expect(
    insideSpeeds(
      [RUN],
      [END],
      (x) => 10 + x,
      () => false,
    ),
  ).toBeNull();
});

describe("limitEnds", () => {
  const check = (name: string, state: LimitState) => ({ name, state }) as LimitCheck;
  /**
   * The load limit is passed above 0.61, the stall margin in doubt below 0.2 and passed between 0.4 and 0.5.
   */
  const checks = (x: number) => [
    check("load", x > 0.61 ? "outside" : "inside"),
    check("stall", x < 0.2 ? "in-doubt" : x > 0.4 && x < 0.5 ? "outside" : "no-limit"),
    check("base", "no-value"),
  ];
  // A border is closed in on by 14 halvings of a thirty-second, from the side that keeps.
  const near = (x: number) => expect.closeTo(x, 5);

  it("finds each limit's stretches with their borders, to either end of the curve", () => {
    expect(limitEnds([RUN], checks)).toEqual([
      { name: "stall", from: 0, to: near(0.2) },
      { name: "stall", from: near(0.4), to: near(0.5) },
      { name: "load", from: near(0.61), to: 1 },
    ]);
  });

  it("puts borders where the limit is still kept, nearer than a thousandth of a step", () => {
    const [low, middle, high] = limitEnds([RUN], checks) as [LimitEnd, LimitEnd, LimitEnd];
    const tiny = 1 / 32 / 2 ** 14;
    for (const [kept, edge] of [
      [low.to, 0.2],
      [middle.from, 0.4],
      [middle.to, 0.5],
      [high.from, 0.61],
    ] as const) {
      expect(checks(kept).every(({ state }) => state !== "outside" && state !== "in-doubt")).toBe(true);
      expect(Math.abs(kept - edge)).toBeLessThanOrEqual(tiny);
    }
  });

  it("holds each run of the curve by itself, and takes no launch for nothing broken", () => {
    const runs = [RUN.slice(0, 10), RUN.slice(24)];
    expect(limitEnds(runs, checks)).toEqual([
      { name: "stall", from: 0, to: near(0.2) },
      { name: "load", from: 0.75, to: 1 },
    ]);
    expect(limitEnds([RUN], () => null)).toEqual([]);
  });
});

describe("insideSpeeds", () => {
  const speedAt = (x: number) => 10 + x;
  const always = () => true;

  it("takes the places outside every end: an end that reaches the curve's own end holds that too", () => {
    const both = [
      { name: "stall", from: 0, to: 0.25 },
      { name: "load", from: 0.75, to: 1 },
    ] as const;
    const { slowest, fastest } = insideSpeeds([RUN], both, speedAt, always)!;
    expect([slowest.x, slowest.bound]).toEqual([0.25, []]);
    expect([fastest.x, fastest.bound]).toEqual([0.75, []]);
    const whole = insideSpeeds([RUN], [], speedAt, always)!;
    expect([whole.slowest.speed, whole.fastest.speed]).toEqual([10, 11]);
  });

  it("finds nothing where one end is the whole curve, and no border inside another end", () => {
    expect(insideSpeeds([RUN], [{ name: "load", from: 0, to: 1 }], speedAt, always)).toBeNull();
    const over = [
      { name: "stall", from: 0, to: 0.55 },
      { name: "load", from: 0.52, to: 1 },
    ] as const;
    expect(insideSpeeds([RUN], over, speedAt, always)).toBeNull();
  });

  it("moves the border of a stretch below upwards, and of one above downwards", () => {
    const middle = [{ name: "base", from: 0.41, to: 0.59 }] as const;
    const keeps = (x: number) => x <= 0.41 - 2.5 * STEP || x >= 0.59 + 1.5 * STEP;
    const only = RUN.filter(({ x }) => x === 0 || x === 1).map((one) => ({ ...one, speed: 10.5 }));
    const { slowest, fastest } = insideSpeeds([only], middle, speedAt, keeps)!;
    expect(slowest.x).toBeCloseTo(0.41 - 3 * STEP, 12);
    expect(fastest.x).toBeCloseTo(0.59 + 2 * STEP, 12);
  });

  it("leaves out a border at which the launcher does not launch", () => {
    const none = () => null;
    expect(insideSpeeds([RUN], [END], none, always)!.fastest.bound).toEqual([]);
  });
});
