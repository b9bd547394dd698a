import { expect, it } from "vitest";
import { budgetAdvice, sharesOf, sharesText } from "../../../src/renderer/ledger/budget.ts";

const lines = [
  { source: "clock", u: 1 },
  { source: "scale", u: 2 },
  { source: "marks", u: 0.05 },
] as const;

it("gives each source its share of the variance, largest first", () => {
  const shares = sharesOf(lines);
  expect(shares.map(({ source }) => source)).toEqual(["scale", "clock", "marks"]);
  expect(shares[0]!.share).toBeCloseTo(4 / 5.0025, 12);
  expect(shares.reduce((sum, { share }) => sum + share, 0)).toBeCloseTo(1, 12);
});

it("words the shares without those below half a per cent", () => {
  expect(sharesText(sharesOf(lines))).toBe("scale\u00a080\u00a0% · clock\u00a020\u00a0%");
});

it("advises on the largest source, and says nothing without one", () => {
  expect(budgetAdvice(sharesOf(lines))).toMatch(/^Most of it is scale: a longer rod/);
  expect(
    budgetAdvice(
      sharesOf([
        { source: "clock", u: 1 },
        { source: "marks", u: 1 },
      ]),
    ),
  ).toMatch(/^The largest part is clock/);
  expect(budgetAdvice(sharesOf([{ source: "clock", u: 0 }]))).toBeNull();
});
