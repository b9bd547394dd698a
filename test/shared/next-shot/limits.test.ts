import { describe, expect, it } from "vitest";
import { checkLimits, isInside } from "../../../src/shared/next-shot/limits.ts";
import type { LimitName } from "../../../src/shared/next-shot/next-notices.ts";
import type { Measured, Quantity, Unit } from "../../../src/shared/quantity/measured.ts";
import type { BaseLoad } from "../../../src/shared/results/shot-result.ts";
import { launchInputs } from "../../../src/shared/session/launch-inputs.ts";
import { ofNext } from "../../support/notice-codes.ts";
import { oneOfEach } from "../../support/one-of-each.ts";
import { ramSession, ramShot } from "./ram-session.ts";

const exactly = (value: number): Measured => ({ value, u: 0 });
const quantity = (value: number, u: number, unit: Unit): Quantity => ({ value, u, unit, how: "" });

const PREDICTED = {
  baseLoads: [],
  quantities: {
    loadFactor: quantity(20, 0.5, "1"),
    endStopPeakForce: quantity(3000, 100, "N"),
    peakBaseReaction: quantity(800, 20, "N"),
    stallMargin: quantity(1.5, 0.05, "1"),
  },
};
const NOTHING = { quantities: {}, baseLoads: [] };

/** The check of one limit when it is set to `limit` and nothing else is. */
function checked(name: LimitName, limit: number, scatter = 0) {
  const session = ramSession(
    {
      tankRatingPa: name === "rating" ? limit : null,
      baseRatedLoadN: name === "base" ? limit : null,
      endStop: { bufferTravelM: exactly(0.01), ratedLoadN: name === "end-stop" ? limit : null },
    },
    { loadLimitG: name === "load" ? exactly(limit) : null },
  );
  const shot = ramShot({ value: 5e5, u: 4000 });
  const margin = name === "stall" ? limit : null;
  const checks = checkLimits(PREDICTED, launchInputs(session, shot), margin, scatter);
  expect(checks.filter(({ state }) => state !== "no-limit").map((one) => one.name)).toEqual([name]);
  return checks.find((one) => one.name === name)!;
}

describe("checkLimits", () => {
  // By hand: inside while 2 u are free; in doubt while the value is; outside past it.
  it.each([
    ["rating", 5.081e5, 5.079e5, 4.99e5],
    ["load", 21.01, 20.99, 19.99],
    ["end-stop", 3201, 3199, 2999],
    ["base", 841, 839, 799],
    ["stall", 1.399, 1.401, 1.501],
  ] as const)("keeps twice the uncertainty clear of the limit %s", (name, inside, doubt, outside) => {
    expect(checked(name, inside)).toMatchObject({ state: "inside", notice: null });
    expect(checked(name, doubt)).toMatchObject({ state: "in-doubt", notice: { level: "warning" } });
    expect(checked(name, outside)).toMatchObject({ state: "outside", notice: { level: "danger" } });
    expect(isInside([checked(name, doubt)])).toBe(false);
  });

  it("adds the scatter from shot to shot: once for the stall margin, twice for forces, not for the pressure", () => {
    const r = 0.03;
    const free = 2 * Math.hypot(0.5, 2 * r * 20);
    expect(checked("load", 20 + free + 0.01, r).state).toBe("inside");
    expect(checked("load", 20 + free - 0.01, r).state).toBe("in-doubt");
    const less = 2 * Math.hypot(0.05, r * 1.5);
    expect(checked("stall", 1.5 - less - 0.001, r).state).toBe("inside");
    expect(checked("stall", 1.5 - less + 0.001, r).state).toBe("in-doubt");
    expect(checked("rating", 5.081e5, r).state).toBe("inside");
  });

  it("says of each limit that is not stated that it was not, and lets it pass", () => {
    const session = ramSession({ tankRatingPa: null });
    const checks = checkLimits(PREDICTED, launchInputs(session, ramShot(exactly(5e5))), null, 0);
    expect(checks.map(({ name, state }) => [name, state])).toEqual(
      ["rating", "load", "end-stop", "base", "stall"].map((name) => [name, "no-limit"]),
    );
    expect(checks.every(({ notice }) => notice?.level === "note")).toBe(true);
    expect(isInside(checks)).toBe(true);
  });

  it("has the ram's own limits for a ram alone", () => {
    const session = oneOfEach({ ...ramSession(), launcher: { kind: "no-model", name: "arm" } as const });
    const checks = checkLimits(NOTHING, launchInputs(session, ramShot(null)), 1.2, 0);
    expect(checks.map(({ name, state }) => [name, state])).toEqual([
      ["load", "no-limit"],
      ["stall", "no-value"],
    ]);
  });

  it("breaks the base's limit where the end stop pulls it too hard, in the words of that load", () => {
    const session = ramSession({ baseRatedLoadN: 2000 });
    const changed = launchInputs(session, ramShot(exactly(5e5)));
    const baseWith = (way: BaseLoad["way"], standing: BaseLoad["standing"]) => {
      const load = { way, loadN: { value: 2500, u: 100 }, ratedLoadN: 2000, standing };
      return checkLimits({ ...PREDICTED, baseLoads: [load] }, changed, null, 0).find(
        ({ name }) => name === "base",
      )!;
    };
    const pulls = expect.stringContaining(
      "The end stop, or gas shut in ahead of the piston, pulls the base forward with up to 2500 ± 100 N",
    );
    expect(baseWith("pull", "above")).toMatchObject({
      state: "outside",
      notice: { code: ofNext("base-pull-over"), cause: pulls },
    });
    expect(baseWith("pull", "near")).toMatchObject({
      state: "in-doubt",
      notice: { code: ofNext("base-pull-near"), cause: pulls },
    });
    expect(baseWith("pull", "within")).toMatchObject({ state: "inside", notice: null });
    // The push is held against the limit as the result that it is, with scatter: it is not counted twice.
    expect(baseWith("push", "above")).toMatchObject({ state: "inside", notice: null });
  });

  it("lets the push speak for the base where it is over the rating by itself", () => {
    const session = ramSession({ baseRatedLoadN: 700 });
    const pull = { way: "pull", loadN: { value: 2500, u: 100 }, ratedLoadN: 700, standing: "above" } as const;
    const base = checkLimits(
      { ...PREDICTED, baseLoads: [pull] },
      launchInputs(session, ramShot(exactly(5e5))),
      null,
      0,
    ).find(({ name }) => name === "base");
    expect(base).toMatchObject({ state: "outside", notice: { code: ofNext("next-base") } });
  });

  it("says of each limit in doubt what helps: to stay below a rating, to keep off the others", () => {
    const remedy = (name: LimitName, limit: number) => checked(name, limit).notice!.remedy;
    expect(remedy("rating", 5.079e5)).toMatch(/^Stay below it, or use a better gauge\. Do not fill it/);
    for (const [name, limit] of [
      ["load", 20.99],
      ["end-stop", 3199],
      ["base", 839],
      ["stall", 1.401],
    ] as const) {
      expect(remedy(name, limit)).toMatch(/^Keep a greater margin, or measure it more closely\. [A-Z]/);
    }
  });

  it("words pressures in the person's unit", () => {
    const session = { ...ramSession({ tankRatingPa: 4e5 }), units: "field" as const };
    const [rating] = checkLimits(NOTHING, launchInputs(session, ramShot({ value: 5e5, u: 4000 })), null, 0);
    expect(rating!.notice!.cause).toContain("72.5 ± 0.6 psi");
    expect(rating!.notice!.cause).toContain("58.0151 psi");
  });
});
