import { expect, it } from "vitest";
import { numberText, readNumber } from "../../../../src/renderer/ledger/fields/number-entry.ts";
import { entryUnit } from "../../../../src/shared/inputs/entry-unit.ts";

const bar = entryUnit("pressure", "SI");
const read = (value: string, rule: "any" | "positive" | "not-negative" = "positive") =>
  readNumber({ value, u: "" }, bar, rule);

it("reads a number in the field's unit into SI", () => {
  expect(read("6,5")).toEqual({ kind: "stands", stands: 650000 });
});

it("says why a number cannot stand", () => {
  expect(read(" ")).toEqual({ kind: "empty" });
  expect(read("six")).toMatchObject({ kind: "wrong", cause: "“six” is not a number." });
  expect(read("0")).toMatchObject({ kind: "wrong", cause: "It must be above zero." });
  expect(read("-1", "not-negative")).toMatchObject({ kind: "wrong", cause: "It cannot be below zero." });
  expect(read("-1", "any")).toMatchObject({ kind: "stands" });
});

it("shows a number to the digits asked for, and nothing for one that is not known", () => {
  expect(numberText(654321, bar, 3).value).toBe("6.54");
  expect(numberText(654321, bar, 5).value).toBe("6.5432");
  expect(numberText(null, bar, 3)).toEqual({ value: "", u: "" });
});
