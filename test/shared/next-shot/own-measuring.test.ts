import { describe, expect, it } from "vitest";
import { ownMeasuring } from "../../../src/shared/next-shot/own-measuring.ts";
import type { BudgetLine } from "../../../src/shared/results/shot-result.ts";
import type { Shot } from "../../../src/shared/session/schema.ts";
import { ramShot } from "./ram-session.ts";

const rod = (bx: number, u = 0.0005): NonNullable<Shot["scale"]> => ({
  a: [100, 400],
  b: [bx, 401],
  uPx: 0.5,
  rodM: { value: 1, u },
});
const plumb = (x: number): NonNullable<Shot["plumb"]> => ({
  top: [x, 10],
  bottom: [x + 1, 500],
  uPx: 0.5,
  hangRad: 0.001,
});
const GAUGE = { value: 5e5, u: 3000 };
const shot = (id: string, part: Partial<Shot>): Shot => ({
  ...ramShot(GAUGE, id),
  scale: rod(700),
  plumb: null,
  ...part,
});
const line = (source: BudgetLine["source"], u: number): BudgetLine => ({ source, u });
const SCALE = [line("marks", 0.03), line("scale", 0.04), line("clock", 0.1)];
const own = (one: Shot, other: Shot, lines = SCALE) => ownMeasuring(one, [one, other], lines, 14);

describe("the uncertainty that is a shot's own", () => {
  it("is of its marks alone where the rod's picks were carried over", () => {
    expect(own(shot("a", {}), shot("b", {}))).toBeCloseTo(0.03, 12);
  });

  it("is of a rod clicked again too, but for its length, which was measured once", () => {
    // The length's part of 14 m/s is 0.007 m/s of the scale's 0.04.
    const again = own(shot("a", {}), shot("b", { scale: rod(702) }));
    expect(again).toBeCloseTo(Math.hypot(0.03, Math.sqrt(0.04 ** 2 - 0.007 ** 2)), 12);
    const otherRod = own(shot("a", {}), shot("b", { scale: rod(702, 0.0008) }));
    expect(otherRod).toBeCloseTo(0.05, 12);
    // A length that is all of it leaves nothing to the picks.
    const long = { scale: rod(700, 0.01) };
    expect(own(shot("a", long), shot("b", { scale: rod(702, 0.01) }))).toBeCloseTo(0.03, 12);
  });

  it("is of a plumb clicked again, and of where the flight lay unless that was stated", () => {
    const lines = [line("plumb", 0.02), line("plane", 0.01)];
    const [mine, again] = [shot("a", { plumb: plumb(50) }), shot("b", { plumb: plumb(51) })];
    expect(own(mine, again, lines)).toBeCloseTo(Math.hypot(0.02, 0.01), 12);
    expect(own(mine, shot("b", { plumb: plumb(50) }), lines)).toBeCloseTo(0.01, 12);
    const zero = { value: 0, u: 0.01 };
    const setting = { distanceM: { value: 5, u: 0.1 }, nearerM: zero, turnRad: zero };
    expect(own({ ...mine, setting }, again, [line("plane", 0.01)])).toBe(0);
  });
});
