import { expect, it } from "vitest";
import { createPictureCache } from "../../../src/renderer/frame/picture-cache.ts";

function cacheOf(budget: number) {
  const released: string[] = [];
  return { released, cache: createPictureCache<string>(budget, (picture) => released.push(picture)) };
}

it("lets the least recently used picture go first, and releases it once", () => {
  const { cache, released } = cacheOf(30);
  cache.put("a", "A", 10);
  cache.put("b", "B", 10);
  cache.put("c", "C", 10);
  expect(cache.get("a")).toBe("A");
  cache.put("d", "D", 10);
  expect(released).toEqual(["B"]);
  expect([cache.has("a"), cache.has("b"), cache.bytes(), cache.size()]).toEqual([true, false, 30, 3]);
});

it("releases the picture that another of the same key replaces", () => {
  const { cache, released } = cacheOf(30);
  cache.put("a", "half", 5);
  cache.put("a", "full", 20);
  expect(released).toEqual(["half"]);
  expect(cache.bytes()).toBe(20);
});

it("keeps one picture larger than the budget, alone", () => {
  const { cache, released } = cacheOf(30);
  cache.put("a", "A", 10);
  cache.put("b", "B", 100);
  expect(released).toEqual(["A"]);
  expect(cache.get("b")).toBe("B");
});

it("releases everything when cleared", () => {
  const { cache, released } = cacheOf(30);
  cache.put("a", "A", 10);
  cache.put("b", "B", 10);
  cache.clear();
  expect(released.sort()).toEqual(["A", "B"]);
  expect(cache.bytes()).toBe(0);
});

it("throws RangeError on a budget that is not positive, with the value received", () => {
  expect(() => cacheOf(0)).toThrow(new RangeError("createPictureCache: need a positive budget; got 0"));
});
