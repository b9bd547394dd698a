import { runInNewContext } from "node:vm";
import { describe, expect, it } from "vitest";
import { functionAround, markFunctions, SEEN } from "../../tools/seen-functions.mjs";

const SOURCE = `
const twice = (x) => 2 * x;
const pair = (x) => ({ first: x, rest: () => [x] });
function never() { return twice(1); }
class Counter { constructor(by = twice(1)) { this.by = by; } get next() { return this.by + 1; } }
result = [pair(3).first, new Counter().next];
`;
const nameAt = (text: string) => functionAround("a.ts", SOURCE)(SOURCE.indexOf(text));

describe("markFunctions", () => {
  it("changes nothing of what a program does, and notes the functions it enters and no other", () => {
    const world: Record<string, unknown> = { result: null };
    runInNewContext(markFunctions("a.ts", SOURCE), world);
    expect(world.result).toEqual([3, 3]);
    expect([...(world[SEEN] as Set<string>)].sort()).toEqual(
      ["\nconst", "2 * x", "({ first", "this.by = by", "this.by + 1"].map(nameAt).sort(),
    );
  });
});

describe("functionAround", () => {
  it("names the innermost function, the file outside all, a default value with its function", () => {
    expect(nameAt("[x]")).not.toBe(nameAt("first: x"));
    expect(nameAt("twice(1)) {")).toBe(nameAt("this.by = by"));
    expect(nameAt("result =")).toBe("a.ts");
    expect(new Set(["2 * x", "({ first", "return twice"].map(nameAt)).size).toBe(3);
  });
});
