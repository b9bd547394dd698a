import { expect, it } from "vitest";
import { numberOf } from "../../../../src/renderer/ledger/fields/entry.ts";
import { readEntry, typedOf } from "../../../../src/renderer/ledger/fields/measured-entry.ts";
import { withAssumedU } from "../../../../src/shared/inputs/assumed-u.ts";
import { entryUnit } from "../../../../src/shared/inputs/entry-unit.ts";

const mm = entryUnit("length", "SI");
const celsius = entryUnit("temperature", "SI");

it("reads a value and its u in the field's unit into SI", () => {
  expect(readEntry({ value: "1200", u: "1.5" }, mm, "positive")).toEqual({
    kind: "stands",
    stands: { value: 1.2, u: 0.0015 },
  });
});

it("applies an offset to the value and never to u", () => {
  const entry = readEntry({ value: "15", u: "2" }, celsius, "positive");
  expect(entry).toEqual({ kind: "stands", stands: { value: 288.15, u: 2 } });
});

it("takes a decimal comma, a true minus and a pasted ±", () => {
  expect([
    numberOf("0,82"),
    numberOf("−3.5"),
    numberOf("1e-3"),
    numberOf("1,200.5"),
    numberOf("abc"),
    numberOf(""),
  ]).toEqual([0.82, -3.5, 0.001, null, null, null]);
  expect(readEntry({ value: "1200 ± 1", u: "" }, mm, "positive")).toMatchObject({
    stands: { value: 1.2, u: 0.001 },
  });
});

it("says what is missing, and what cannot stand, each with a remedy", () => {
  expect(readEntry({ value: "", u: "" }, mm, "positive")).toEqual({ kind: "empty" });
  expect(readEntry({ value: "1200", u: "" }, mm, "positive")).toMatchObject({
    kind: "unfinished",
    cause: "Its standard uncertainty is missing.",
  });
  expect(readEntry({ value: "", u: "1" }, mm, "positive")).toMatchObject({
    kind: "unfinished",
    cause: "The value is missing.",
  });
  expect(readEntry({ value: "long", u: "1" }, mm, "positive")).toMatchObject({
    kind: "wrong",
    cause: "“long” is not a number.",
  });
  expect(readEntry({ value: "1200", u: "some" }, mm, "positive")).toMatchObject({ kind: "wrong" });
  expect(readEntry({ value: "1200", u: "-1" }, mm, "positive")).toMatchObject({
    cause: "An uncertainty is never below zero.",
  });
  expect(readEntry({ value: "-1", u: "1" }, mm, "positive")).toMatchObject({
    cause: "It must be above zero.",
  });
  expect(readEntry({ value: "-1", u: "1" }, mm, "not-negative")).toMatchObject({
    cause: "It cannot be below zero.",
  });
  expect(readEntry({ value: "5", u: "0" }, mm, "positive", { uPositive: true })).toMatchObject({
    kind: "wrong",
  });
});

it("shows u to three digits and the value to the same place, so that what is cut is below a hundredth of u", () => {
  const degrees = entryUnit("angle", "SI");
  expect(typedOf({ value: 0.41, u: 0.004 }, degrees)).toEqual({ value: "23.491", u: "0.229" });
  expect(typedOf({ value: 0.99971, u: 0.0005 }, mm)).toEqual({ value: "999.71", u: "0.5" });
  expect(typedOf({ value: 101325, u: 3000 }, entryUnit("air-pressure", "SI"))).toEqual({
    value: "1013.3",
    u: "30",
  });
  expect(typedOf({ value: 0.3, u: 0 }, entryUnit("ratio", "SI"))).toEqual({ value: "0.3", u: "0" });
  expect(typedOf(null, mm)).toEqual({ value: "", u: "" });
});

it("divides a bound typed after < by the root of three, as JCGM 100:2008, 4.3.7 has it", () => {
  const read = (u: string) => readEntry({ value: "1200", u }, mm, "positive");
  const entry = read("<1.5");
  if (entry.kind !== "stands") throw new Error(entry.kind);
  expect(entry.stands.u).toBeCloseTo(0.0015 / 1.7320508, 10);
  expect(read(" < 1,5 ")).toEqual(entry);
  expect(readEntry({ value: "1200 ± <1.5", u: "" }, mm, "positive")).toEqual(entry);
  expect(read("<")).toMatchObject({ kind: "unfinished", cause: "The bound is missing." });
  expect(read("<-1")).toMatchObject({ kind: "wrong", cause: "An uncertainty is never below zero." });
  expect(read("<x")).toMatchObject({ kind: "wrong", cause: "“<x” is not a number." });
});

it("assumes a usual ± for a value alone, and says that it is one", () => {
  const usual = (si: number) => withAssumedU(si, "rate", "shots[].clock.captureRateHz");
  const rate = entryUnit("rate", "SI");
  const alone = readEntry({ value: "240", u: "" }, rate, "positive", { usual });
  // 0.2 % of 240: what the fit took all along where no ± was stated
  expect(alone).toMatchObject({
    kind: "unfinished",
    assumes: { value: 240, u: expect.closeTo(0.48, 12), assumed: true },
  });
  expect(typedOf({ value: 240, u: 0.48, assumed: true }, rate)).toEqual({
    value: "240",
    u: "0.48",
    assumed: true,
  });
  expect(readEntry({ value: "240", u: "0.48", assumed: true }, rate, "positive")).toMatchObject({
    kind: "stands",
    stands: { assumed: true },
  });
  expect(readEntry({ value: "240", u: "0.48" }, rate, "positive")).toEqual({
    kind: "stands",
    stands: { value: 240, u: 0.48 },
  });
  // a bound that is begun is not a ± left out
  expect(readEntry({ value: "240", u: "<" }, rate, "positive", { usual })).not.toHaveProperty("assumes");
});
