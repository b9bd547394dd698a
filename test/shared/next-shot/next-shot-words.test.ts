import { describe, expect, it } from "vitest";
import type { NextShotReport } from "../../../src/shared/next-shot/next-shot-report.ts";
import {
  answerSays,
  intervalSays,
  limitRow,
  limitsSay,
  repeatRow,
  repeatSays,
} from "../../../src/shared/next-shot/next-shot-words.ts";
import { plainNumber } from "../../../src/shared/next-shot/plain-number.ts";
import type { Repeatability } from "../../../src/shared/next-shot/repeatability.ts";

/*
 * What a person reads of the next shot, sentence by sentence, from a report of round numbers.
 */
type Answer = NonNullable<NextShotReport["answer"]>;
const ANSWER = {
  setting: { value: 4.62e5, u: 0.08e5 },
  others: [],
  slope: 1,
  speed: { value: 14.5, u: 0.1 },
  interval: { low: 14.1, high: 14.9, u: 0.2, k: 1.96, dof: null, coverage: 0.95 },
  chanceAsWanted: null,
  insideLimits: true,
} as unknown as Answer;
const SETTING = { field: "Tank pressure", symbol: "p", unit: "Pa", now: 4e5, low: 1e5, high: 10e5 } as const;
const report = (answer: object | null, more: object = {}) =>
  ({
    shotId: "shot-1",
    ask: { speedMPerS: { value: 14.5, u: 0.3 }, choose: "pressure", leastStallMargin: null },
    setting: SETTING,
    answer: answer && { ...ANSWER, ...answer },
    ...{ limits: [], inside: null, reach: null, scatter: null, groups: [], curve: [], stall: [], ends: [] },
    ...more,
  }) as unknown as NextShotReport;
const choosing = (choose: string, value: number, setting: object = {}) =>
  answerSays(
    report(
      { setting: { value, u: 0 } },
      {
        ask: { speedMPerS: { value: 14.5, u: 0.3 }, choose, leastStallMargin: null },
        setting: { ...SETTING, ...setting },
      },
    ),
    "SI",
  );

describe("the answer in one sentence", () => {
  it("says what to set, for which speed, and where the next shot will be with which chance", () => {
    expect(answerSays(report({}), "SI")).toBe(
      "Fill to 4.62 ± 0.08 bar for 14.5 m/s; next shot between 14.10 and 14.90 m/s (95 %).",
    );
    const half = { interval: { ...ANSWER.interval, coverage: 0.5 } };
    expect(answerSays(report(half), "SI")).toMatch(/ \(50 %\)\.$/);
  });

  it("leaves the next shot out where nothing is in doubt, and is none where there is no answer", () => {
    expect(answerSays(report({ interval: { ...ANSWER.interval, u: 0 } }), "SI")).toBe(
      "Fill to 4.62 ± 0.08 bar for 14.5 m/s.",
    );
    expect(answerSays(report(null), "SI")).toBeNull();
    expect(answerSays(report({}, { setting: null }), "SI")).toBeNull();
    const ask = { speedMPerS: null, choose: "pressure", leastStallMargin: null };
    expect(answerSays(report({}, { ask }), "SI")).toBeNull();
  });

  it("tells nobody to do what breaks a limit", () => {
    expect(answerSays(report({ insideLimits: false }), "SI")).toBe(
      "Outside the limits: 14.5 m/s would take 4.62 ± 0.08 bar.",
    );
    const ask = { speedMPerS: { value: 14.5, u: 0 }, choose: "motor", leastStallMargin: null };
    const setting = { ...SETTING, unit: "1" };
    const motors = { insideLimits: false, setting: { value: 1.5, u: 0.1 } };
    expect(answerSays(report(motors, { ask, setting }), "SI")).toBe(
      "Outside the limits: 14.5 m/s would take motors of 1.50 ± 0.10 times the present thrust.",
    );
  });

  it("says what is done to what is set: lighten below the present mass, ballast above it", () => {
    const mass = { field: "Airframe mass", unit: "kg", now: 0.6 };
    expect(choosing("mass", 0.5, mass)).toMatch(/^Lighten the airframe to /);
    expect(choosing("mass", 0.7, mass)).toMatch(/^Ballast the airframe to /);
    expect(choosing("mass", 0.6, mass)).toMatch(/^Ballast the airframe to /);
    expect(choosing("mass", 0.5, { ...mass, now: null })).toMatch(/^Ballast /);
    expect(choosing("stroke", 0.5, { field: "Stroke", unit: "m" })).toMatch(/^Set the stroke to /);
    expect(choosing("draw", 5, { field: "Drawn out by", unit: "m" })).toMatch(/^Draw the line out by /);
    expect(choosing("motor", 2, { field: "Thrust", unit: "1" })).toMatch(
      /^Use motors of .* times the present thrust for 14\.5 m\/s/,
    );
  });
});

describe("what the interval holds", () => {
  const SCATTER = { relative: 0.0123, shots: 6, from: "repeats" };
  const says = (answer: object, more: object = {}) => intervalSays(report(answer, more), "SI");

  it("is the model's doubt alone while no scatter is known, else the scatter with where it is known from", () => {
    expect(says({})).toBe(
      "The interval covers the model's uncertainty alone, ± 1.96 standard uncertainties: no scatter from shot to shot is known yet; repeat a shot to know it.",
    );
    expect(says({}, { scatter: SCATTER })).toBe(
      "The interval covers the model's uncertainty and a scatter of 1.2 % from shot to shot (6 repeated shots), ± 1.96 standard uncertainties.",
    );
    expect(says({}, { scatter: { ...SCATTER, from: "tuning" } })).toContain("(found in tuning on 6 shots)");
    expect(intervalSays(report(null), "SI")).toBe("");
  });

  it("names degrees of freedom under 100, from which on the factor is the normal's to a hundredth", () => {
    const of = (dof: number) => says({ interval: { ...ANSWER.interval, k: 2.1, dof } });
    expect(of(8.4)).toContain("± 2.10 standard uncertainties at 8 degrees of freedom:");
    expect(of(99)).toContain("at 99 degrees of freedom");
    expect(of(100)).not.toContain("degrees of freedom");
  });

  it("gives the chance to be as wanted, in whole percent, and never 0 or 100 where it is neither", () => {
    const chance = (chanceAsWanted: number) =>
      / with a chance of (.*)\.$/.exec(says({ chanceAsWanted }))?.[1];
    expect(says({ chanceAsWanted: 0.5 })).toMatch(
      / It is within 0\.30? m\/s of the wanted speed with a chance of 50 %\.$/,
    );
    const told = [0, 0.004, 0.01, 0.5, 0.99, 0.996, 1].map(chance);
    expect(told).toEqual(["0 %", "under 1 %", "1 %", "50 %", "99 %", "over 99 %", "100 %"]);
  });

  it("advises tuning where the model's doubt is more than nine tenths of u, four fifths of the variance", () => {
    const advice = "Most of it is the model's uncertainty: tuning on measured shots reduces it.";
    const of = (u: number, scatter: object | null) => says({ speed: { value: 14.5, u } }, { scatter });
    expect(of(0.19, SCATTER)).toContain(advice); // of 0.2
    expect(of(0.17, SCATTER)).not.toContain(advice);
    expect(of(0.19, null)).not.toContain(advice); // it is all the model's, and says so
  });
});

describe("the limits", () => {
  const check = (more: object) => ({
    ...{ name: "load", words: "Load factor", unit: "1", side: "most", state: "inside", notice: null },
    ...{ value: { value: 20, u: 1 }, limit: { value: 32, u: 0 } },
    ...more,
  });
  const row = (more: object) => limitRow(check(more) as never, "SI");
  const inside = (slowest: readonly string[], fastest: readonly string[]) => ({
    slowest: { x: 2e5, speed: 9.1, bound: slowest },
    fastest: { x: 3.9e5, speed: 13.2789, bound: fastest },
  });
  const say = (limits: readonly object[], range: object | null = inside([], [])) =>
    limitsSay(report({}, { limits, inside: range }), "SI");

  it("stand in a table with value, limit and how they stand", () => {
    expect(row({})).toEqual(["Load factor", "20.0 ± 1.0", "at most 32", "inside"]);
    expect(row({ side: "least", state: "in-doubt" }).slice(2)).toEqual(["at least 32", "within 2 u of it"]);
    expect(row({ limit: { value: 32, u: 2 } })[2]).toBe("at most 32.0 ± 2.0");
    expect(row({ value: null, state: "no-value" })).toEqual([
      ...["Load factor", "not known", "at most 32", "cannot be checked"],
    ]);
    expect(row({ limit: null, state: "no-limit" }).slice(2)).toEqual(["not stated", "not checked"]);
    expect(row({ state: "outside" })[3]).toBe("passed");
  });

  it("say the greatest speed inside them, never rounded upwards, what binds there and what binds below", () => {
    const greatest = "The greatest speed inside all limits is 13.2 m/s, at 3.90 bar";
    expect(say([check({})])).toBe(`${greatest}.`);
    expect(say([check({})], inside([], ["load"]))).toBe(
      `${greatest}; the airframe's load limit binds there.`,
    );
    expect(say([check({})], inside(["stall"], ["rating", "load", "base"]))).toBe(
      `${greatest}; the maker's rating of the tank, the airframe's load limit and the rated load of the base binds there. ` +
        "Slower than 9.10 m/s, the least stall margin is not kept.",
    );
    expect(say([check({})], null)).toBe("No setting keeps all limits.");
  });

  it("say that none is stated, and which could not be checked", () => {
    expect(say([])).toBe(""); // nothing was checked, which says nothing of what is stated
    expect(say([check({ state: "no-limit" })])).toBe("No limit is stated, so none can be kept.");
    const unchecked = [check({ state: "no-value" }), check({ state: "no-value", words: "Stall margin" })];
    expect(say(unchecked)).toMatch(/bar\. Load factor and Stall margin could not be checked\.$/);
  });
});

describe("repeats", () => {
  const REPEATS: Repeatability = {
    n: 4,
    mean: 14.5,
    s: 0.2,
    meanU: 0.1,
    meanInterval: [14.18, 14.82],
    nextHalfWidth: 0.71,
    sigmaInterval: [0.11, 0.75],
    commonU: 0.05,
    measurementU: 0.1,
    measurementShare: 0.25,
    launcherS: 0.17,
  };

  it("stand in a table with mean, scatter, next shot, and what measuring has of it", () => {
    const row = repeatRow({ gaugePa: 4e5, repeatability: REPEATS, shots: [] } as never, "SI");
    expect(row).toEqual({
      setting: "4.00 bar",
      n: "4",
      mean: "14.50 m/s, 14.18 to 14.82",
      scatter: "0.20 m/s, 0.11 to 0.8",
      next: "± 0.7 m/s",
      common: "± 0.05 m/s",
      measurement: "25 %",
    });
    expect(repeatRow({ gaugePa: null, repeatability: REPEATS, shots: [] } as never, "SI")!.setting).toBe(
      "as it stands",
    );
    expect(repeatRow({ gaugePa: 4e5, repeatability: null, shots: [] } as never, "SI")).toBeNull();
  });

  it("say by how much shots differ, and how much of that is the launcher's own: 0.2 and 0.17 of 14.5 m/s", () => {
    expect(repeatSays(REPEATS)).toBe(
      "Shots differ by 1.4 %; 25 % of the variance is measuring, and the launcher's own scatter is 1.2 %.",
    );
    expect(repeatSays({ ...REPEATS, measurementShare: 1, launcherS: 0 })).toBe(
      "Shots differ by 1.4 %, no more than measuring them does: the launcher's own scatter does not show.",
    );
    expect(repeatSays({ ...REPEATS, s: 0 })).toBe("All the shots gave the same speed.");
  });
});

describe("plainNumber", () => {
  it("has three digits in the person's unit, twelve places at most, and is rounded down where asked", () => {
    expect(plainNumber(3.926e5, "Pa", "SI")).toBe("3.93 bar");
    expect(plainNumber(3.926e5, "Pa", "SI", "down")).toBe("3.92 bar");
    expect(plainNumber(10, "m/s", "SI")).toBe("10.0 m/s");
    expect(plainNumber(0.098765, "1", "SI")).toBe("0.0988");
    expect(plainNumber(12345, "1", "SI")).toBe("12345");
    expect(plainNumber(-1.234, "m/s", "SI")).toBe("−1.23 m/s");
    expect(plainNumber(0, "m/s", "SI")).toBe("0 m/s");
    expect(plainNumber(1.23e-14, "1", "SI")).toBe("0.000000000000");
    expect(plainNumber(3.1, "m/s", "field")).toBe("10.2 ft/s");
  });
});
