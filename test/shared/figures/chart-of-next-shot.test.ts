import { describe, expect, it } from "vitest";
import { chartOfNextShot } from "../../../src/shared/figures/chart-of-next-shot.ts";
import type { NextShotReport } from "../../../src/shared/next-shot/next-shot-report.ts";

/*
 * A report made up of round numbers, so that what is drawn of it can be worked by hand: a pressure of 1 to 11
 * bar, speeds of 5 to 25 m/s.
 */
const BAR = 1e5;
const PSI = 6894.757293168361; // Pa, a pound-force on a square inch
const FOOT = 0.3048; // m

const inside = (bar: number, bound: "rating" | null) => ({
  ...{ x: bar * BAR, speed: 2 * bar + 3, u: 0.1 },
  bound: bound === null ? [] : [bound],
});
const REPORT = {
  shotId: "shot-1",
  ask: { speedMPerS: { value: 15, u: 0.5 }, choose: "pressure", leastStallMargin: 1.25 },
  setting: { field: "Tank pressure", symbol: "p", unit: "Pa", now: 5 * BAR, low: BAR, high: 11 * BAR },
  answer: {
    setting: { value: 6 * BAR, u: 0.2 * BAR },
    ...{ others: [], slope: 2 / BAR, speed: { value: 15, u: 0.4 }, chanceAsWanted: null, insideLimits: true },
    interval: {},
  },
  limits: [],
  inside: { slowest: inside(2, null), fastest: inside(9, null) },
  reach: { slowest: { x: BAR, speed: 5 }, fastest: { x: 11 * BAR, speed: 25 } },
  scatter: null,
  groups: [],
  curve: [Array.from({ length: 11 }, (_, i) => ({ x: (i + 1) * BAR, speed: 2 * i + 5, u: 0.5 }))],
  stall: [
    { x: BAR, speed: 8 },
    { x: 6 * BAR, speed: 9 },
    { x: 11 * BAR, speed: 10 },
  ],
  ends: [],
  motors: [],
  cautions: [],
  notices: [],
} as unknown as NextShotReport;
const chart = (more: object = {}, units: "SI" | "field" = "SI") =>
  chartOfNextShot({ ...REPORT, ...more } as NextShotReport, units)!;
/** Without the last digits that a change of units leaves. */
const near = (x: number) => Number(x.toPrecision(12));
const range = (more: object) => {
  const { from, to } = chart(more).x;
  return [from, to].map(near);
};
const shotAt = (bar: number, shotId = "shot-1") => ({
  ...{ shotId, name: "", gaugePa: { value: bar * BAR, u: 0.1 * BAR } },
  ...{ speed: { value: 14, u: 0.2 }, ownU: 0.1, commonU: 0.1 },
});
const groupAt = (bar: number, shotId?: string) => ({
  gaugePa: bar * BAR,
  shots: [shotAt(bar, shotId)],
});

describe("the stretch of the setting that is drawn", () => {
  it("goes 45 % past what is set now and what is answered, within what can be set", () => {
    expect(range({})).toEqual([2.75, 8.7]);
    expect(range({ answer: null })).toEqual([2.75, 7.25]);
    const setting = { ...REPORT.setting, low: 4 * BAR, high: 7 * BAR };
    expect(range({ setting })).toEqual([4, 7]);
  });

  it("holds measured shots, and the ends inside limits where a limit sets them", () => {
    expect(range({ groups: [groupAt(3), groupAt(7)] })).toEqual([1.65, 10.15]);
    const bound = { slowest: inside(4, "rating"), fastest: inside(6.5, "rating") };
    expect(range({ inside: bound })).toEqual([2.2, 9.425]);
  });

  it("is all that can be set where nothing is set, answered, measured or bounded", () => {
    const setting = { ...REPORT.setting, now: null };
    expect(range({ setting, answer: null })).toEqual([1, 11]);
  });

  it("leaves out points of curves and stall beyond it, and cuts the ends that limits forbid", () => {
    const ends = [
      { name: "rating", from: 8 * BAR, to: 11 * BAR },
      { name: "load", from: BAR, to: 2 * BAR }, // ends before what is shown
      { name: "base", from: BAR, to: 3 * BAR },
      { name: "stall", from: 3 * BAR, to: 4 * BAR }, // drawn as its line
    ];
    const shown = chart({ ends });
    expect(shown.model[0]!.points.map(([x]) => near(x))).toEqual([3, 4, 5, 6, 7, 8]); // of 2.75 to 8.7 bar
    expect(shown.levels[1]!.points).toEqual([[expect.closeTo(6, 9), 9]]);
    expect(shown.ends).toEqual([
      { label: "tank's rating", from: expect.closeTo(8, 9), to: expect.closeTo(8.7, 9) },
      { label: "base", from: expect.closeTo(2.75, 9), to: expect.closeTo(3, 9) },
    ]);
  });
});

describe("what is drawn", () => {
  it("is in the person's units: pressures in psi, speeds and their u in feet a second", () => {
    const field = chart({ groups: [groupAt(5)] }, "field");
    const [wanted, stall] = field.levels as [(typeof field.levels)[0], (typeof field.levels)[0]];
    expect(wanted.points[0]).toEqual([expect.closeTo((2.75 * BAR) / PSI, 9), expect.closeTo(15 / FOOT, 9)]);
    expect(wanted.points[1]![0]).toBeCloseTo((8.7 * BAR) / PSI, 9);
    expect(wanted.half).toBeCloseTo(0.5 / FOOT, 9);
    expect(stall.points).toEqual([[expect.closeTo((6 * BAR) / PSI, 9), expect.closeTo(9 / FOOT, 9)]]);
    const [first] = field.model[0]!.points;
    expect(first).toEqual(
      [(3 * BAR) / PSI, 9 / FOOT, 8 / FOOT, 10 / FOOT].map((one) => expect.closeTo(one, 9)),
    );
    expect(field.shots).toEqual([
      {
        at: [expect.closeTo((5 * BAR) / PSI, 9), expect.closeTo(14 / FOOT, 9)],
        halfX: expect.closeTo((0.2 * BAR) / PSI, 9), // two u
        halfY: expect.closeTo(0.4 / FOOT, 9),
      },
    ]);
    expect(field.answer!.at).toEqual([expect.closeTo((6 * BAR) / PSI, 9), expect.closeTo(15 / FOOT, 9)]);
  });

  it("has a line for the wanted speed, for the stall and a place for the answer only where there is one", () => {
    const none = { ...REPORT.ask, speedMPerS: null };
    expect(chart({ ask: none, answer: null }).levels.map(({ kind }) => kind)).toEqual(["stall"]);
    expect(chart({ stall: [] }).levels.map(({ kind }) => kind)).toEqual(["wanted"]);
    expect(chart().levels[1]!.label).toBe("1.25 × stall");
    expect(chart({ answer: null }).answer).toBeNull();
    expect(chart().answer!.text).toBe("6.00 ± 0.20 bar");
    expect(chartOfNextShot({ ...REPORT, curve: [[]] } as NextShotReport, "SI")).toBeNull();
    expect(chartOfNextShot({ ...REPORT, setting: null } as NextShotReport, "SI")).toBeNull();
  });

  it("has over another input than pressure the shots at the shot's own pressure, where that input is now", () => {
    const setting = { field: "Airframe mass", symbol: "m", unit: "kg", now: 0.6, low: 0.1, high: 2 } as const;
    const ask = { ...REPORT.ask, choose: "mass" };
    const groups = [groupAt(4, "shot-2"), groupAt(5, "shot-1"), { ...groupAt(6, "shot-3"), gaugePa: null }];
    const over = { ask, setting, groups, answer: null, inside: null };
    const grams = (shots: readonly { at: readonly number[]; halfX: number }[]) =>
      shots.map(({ at, halfX }) => [at[0], halfX]);
    expect(grams(chart(over).shots)).toEqual([
      [0.6, 0],
      [0.6, 0],
    ]);
    expect(chart({ ...over, setting: { ...setting, now: null } }).shots).toEqual([]);
  });
});

describe("caption and description", () => {
  const DASHED = "Dashed: predicted, in a band of ± 2 standard uncertainties of the model's inputs (k = 2).";
  const RINGS = "Rings: measured shots, bars of k = 2.";
  const ABOUT = "About the wanted speed: what is still as wanted.";
  const SHADED = "Shaded: not inside the limit named, with twice its uncertainty and the scatter to spare.";
  const caption = (more: object) => chart(more).caption.replace(/\u00a0/g, " ");

  it("explain what is drawn and nothing else", () => {
    const exact = { ...REPORT.ask, speedMPerS: { value: 15, u: 0 } };
    expect(caption({ ask: exact })).toBe(DASHED);
    expect(caption({})).toBe(`${DASHED} ${ABOUT}`);
    expect(caption({ ask: exact, groups: [groupAt(5)] })).toBe(`${DASHED} ${RINGS}`);
    const ends = [{ name: "rating", from: 8 * BAR, to: 11 * BAR }];
    expect(caption({ ask: exact, ends })).toBe(`${DASHED} ${SHADED}`);
  });

  it("say in words the reach, how many shots there are and where the wanted speed is reached", () => {
    const reach = "The model's release speed goes from 5.00 m/s to 25.0 m/s between 1.00 bar and 11.0 bar.";
    const words = (more: object) => chart(more).description.replace(/\u00a0/g, " ");
    expect(words({ answer: null })).toBe(reach);
    expect(words({ answer: null, groups: [groupAt(5)] })).toBe(`${reach} One measured shot is drawn.`);
    expect(words({ answer: null, groups: [groupAt(5), groupAt(6)] })).toBe(
      `${reach} 2 measured shots are drawn.`,
    );
    expect(words({})).toBe(`${reach} 15.0 m/s is reached at 6.00 ± 0.20 bar.`);
    expect(chart().title).toBe("Release speed over tank pressure");
  });
});
