import { expect, it } from "vitest";
import {
  budgetAdvice,
  budgetRows,
  sharesOf,
  sharesText,
  sourceText,
} from "../../../../src/renderer/ledger/parts/budget.ts";

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

it("lists every source in the person's unit, lines of one source as one row", () => {
  const twice = [
    { source: "mass", u: 0.03 },
    { source: "marks", u: 0.12 },
    { source: "mass", u: 0.04 },
  ] as const;
  // hypot(0.03, 0.04) = 0.05; 0.12² / (0.12² + 0.05²) = 85.2 %
  expect(budgetRows(twice, "rad", "SI").map(({ source, u }) => [source, u])).toEqual([
    ["marks", "7"],
    ["mass", "2.9"],
  ]);
  expect(budgetRows(twice, "m", "SI")).toEqual([
    { source: "marks", u: "0.12", share: "85\u00a0%" },
    { source: "mass", u: "0.05", share: "15\u00a0%" },
  ]);
});

it("says of a source that nobody stated it that it is assumed, and asks for it first", () => {
  const guessed = [
    { source: "clock", u: 2, assumed: true },
    { source: "marks", u: 1 },
  ] as const;
  expect(sharesText(sharesOf(guessed))).toBe("clock (assumed)\u00a080\u00a0% · marks\u00a020\u00a0%");
  expect(budgetAdvice(sharesOf(guessed))).toBe(
    "Most of it is clock, whose uncertainty is assumed: state it.",
  );
  expect(budgetRows(guessed, "m", "SI").map(sourceText)).toEqual(["clock (assumed)", "marks"]);
});
