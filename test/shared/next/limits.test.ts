import { describe, expect, it } from "vitest";
import { checkLimits, isInside, type LimitName } from "../../../src/shared/next/limits.ts";
import type { Measured, Quantity, Unit } from "../../../src/shared/quantity/measured.ts";
import type { Notice } from "../../../src/shared/quantity/notice.ts";
import { ramSession, ramShot } from "./ram-session.ts";

const exactly = (value: number): Measured => ({ value, u: 0 });
const quantity = (value: number, u: number, unit: Unit): Quantity => ({ value, u, unit, how: "" });

const PREDICTED = {
  notices: [] as Notice[],
  quantities: {
    loadFactor: quantity(20, 0.5, "1"),
    endStopPeakForce: quantity(3000, 100, "N"),
    peakBaseReaction: quantity(800, 20, "N"),
    stallMargin: quantity(1.5, 0.05, "1"),
  },
};
const NOTHING = { quantities: {}, notices: [] };

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
  const checks = checkLimits(PREDICTED, { session, shot }, margin, scatter, "SI");
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
    const checks = checkLimits(PREDICTED, { session, shot: ramShot(exactly(5e5)) }, null, 0, "SI");
    expect(checks.map(({ name, state }) => [name, state])).toEqual(
      ["rating", "load", "end-stop", "base", "stall"].map((name) => [name, "no-limit"]),
    );
    expect(checks.every(({ notice }) => notice?.level === "note")).toBe(true);
    expect(isInside(checks)).toBe(true);
  });

  it("has the ram's own limits for a ram alone", () => {
    const session = { ...ramSession(), launcher: { kind: "no-model", name: "arm" } as const };
    const checks = checkLimits(NOTHING, { session, shot: ramShot(null) }, 1.2, 0, "SI");
    expect(checks.map(({ name, state }) => [name, state])).toEqual([
      ["load", "no-limit"],
      ["stall", "no-value"],
    ]);
  });

  it("breaks the base's limit where the end stop pulls it too hard, as the model says", () => {
    const session = ramSession({ baseRatedLoadN: 2000 });
    const changed = { session, shot: ramShot(exactly(5e5)) };
    const baseWith = (code: string) => {
      const notices = [{ level: "danger" as const, code, cause: "pulled", remedy: "" }];
      return checkLimits({ ...PREDICTED, notices }, changed, null, 0, "SI").find(
        ({ name }) => name === "base",
      )!;
    };
    expect(baseWith("base-pull-over")).toMatchObject({ state: "outside", notice: { cause: "pulled" } });
    expect(baseWith("base-pull-near")).toMatchObject({ state: "in-doubt", notice: { cause: "pulled" } });
    expect(baseWith("stored-pressure")).toMatchObject({ state: "inside", notice: null });
  });

  it("words pressures in the person's unit", () => {
    const session = ramSession({ tankRatingPa: 4e5 });
    const [rating] = checkLimits(
      NOTHING,
      { session, shot: ramShot({ value: 5e5, u: 4000 }) },
      null,
      0,
      "field",
    );
    expect(rating!.notice!.cause).toContain("72.5 ± 0.6 psi");
    expect(rating!.notice!.cause).toContain("58.0151 psi");
  });
});
