import { expect, it } from "vitest";
import { elementAt, entryOf, lastOf } from "../../../src/shared/quantity/known-element.ts";

it("gives the element at a place, also where that element is undefined or NaN", () => {
  expect(elementAt([3, 5, 7], 1)).toBe(5);
  expect(elementAt([undefined, 2], 0)).toBeUndefined();
  expect(elementAt(Float64Array.of(1, Number.NaN), 1)).toBeNaN();
});

it("gives the last element of a list, and what a map holds", () => {
  expect(lastOf([3, 5, 7])).toBe(7);
  expect(entryOf(new Map([["a", undefined]]), "a")).toBeUndefined();
  expect(entryOf(new Map([[4, "four"]]), 4)).toBe("four");
});

it.each([-1, 3, 0.5, Number.NaN])("throws RangeError for place %d of three, with the place", (place) => {
  expect(() => elementAt([3, 5, 7], place)).toThrow(
    new RangeError(`elementAt: index ${place} is outside a list of 3`),
  );
});

it("throws RangeError for the last of an empty list and for a key that is not in the map", () => {
  expect(() => lastOf([])).toThrow(new RangeError("elementAt: index -1 is outside a list of 0"));
  expect(() => entryOf(new Map([["a", 1]]), "b")).toThrow(new RangeError("entryOf: no entry for b"));
});
