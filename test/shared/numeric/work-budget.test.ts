import { describe, expect, it } from "vitest";
import { spend, withinBudget } from "../../../src/shared/numeric/work-budget.ts";

/** Spends one at a time, and says how often it could. */
function spendUpTo(count: number, spent: { count: number }): number {
  for (; spent.count < count; spent.count++) spend(1);
  return spent.count;
}

describe("withinBudget", () => {
  it("gives the value of work that keeps within it, to the last evaluation", () => {
    expect(withinBudget({ evaluations: 10 }, () => spendUpTo(10, { count: 0 }))).toEqual({
      ok: true,
      value: 10,
    });
  });

  it("ends work that takes more, there and then", () => {
    const spent = { count: 0 };
    expect(withinBudget({ evaluations: 10 }, () => spendUpTo(1000, spent))).toEqual({
      ok: false,
      why: "evaluations",
    });
    expect(spent.count).toBe(10);
  });

  it("counts inner work in the outer budget, and ends the outer work when that is used up", () => {
    const spent = { count: 0 };
    const outer = withinBudget({ evaluations: 15 }, () => {
      const inner = [0, 1, 2].map(() =>
        withinBudget({ evaluations: 10 }, () => spendUpTo(1000, { count: 0 })),
      );
      spent.count = inner.length;
      return inner;
    });
    expect(outer).toEqual({ ok: false, why: "evaluations" });
    expect(spent.count).toBe(0);
  });

  it("lets outer work go on after inner work used up its own budget", () => {
    const outer = withinBudget({ evaluations: 100 }, () =>
      [10, 20].map((evaluations) => withinBudget({ evaluations }, () => spendUpTo(1000, { count: 0 })).ok),
    );
    expect(outer).toEqual({ ok: true, value: [false, false] });
  });

  it("asks whether time is over every 2000 evaluations, and ends the work when it is", () => {
    let asked = 0;
    const worked = withinBudget({ evaluations: 1e9, isOver: () => ++asked === 3 }, () =>
      spendUpTo(1e6, { count: 0 }),
    );
    expect(worked).toEqual({ ok: false, why: "time" });
    expect(asked).toBe(3);
  });

  it("leaves no budget behind, whether the work ends, is ended or throws", () => {
    withinBudget({ evaluations: 1 }, () => spendUpTo(5, { count: 0 }));
    expect(() =>
      withinBudget({ evaluations: 5 }, () => {
        throw new TypeError("a bug");
      }),
    ).toThrow(new TypeError("a bug"));
    // Outside of any budget as much may be spent as is asked for: the last one would end it here.
    expect(spend(1e12)).toBeUndefined();
  });

  it("throws RangeError for a budget of nothing", () => {
    expect(() => withinBudget({ evaluations: 0 }, () => 1)).toThrow(
      new RangeError("withinBudget: need a budget above 0; got 0"),
    );
  });
});
