import { expect, it } from "vitest";
import { findRods } from "../../../src/shared/propose/find-rods.ts";
import type { FoundTarget } from "../../../src/shared/propose/find-targets.ts";

const [width, height] = [400, 200];
const drawn = (shade: (x: number, y: number) => number) => ({
  width,
  height,
  data: Float32Array.from({ length: width * height }, (_, i) => shade(i % width, Math.floor(i / width))),
});
const target = (x: number, y: number): FoundTarget => ({
  kind: "quarters",
  at: [x, y],
  uPx: 0.04,
  radiusPx: 8,
});
/** A light board along the middle, and the sky about it. */
const board = drawn((x, y) => (x > 40 && x < 340 && Math.abs(y - 100) < 14 ? 220 : 120));
const sky = drawn(() => 120);

it("pairs the targets that a board carries, the outer two of three, and none beside it", () => {
  const targets = [target(60, 100), target(190, 100), target(320, 100), target(200, 30)];
  expect(findRods(board, targets)).toEqual([[0, 2]]);
});

it("takes two targets for a pair though nothing is seen between them, and of more none", () => {
  expect(findRods(sky, [target(60, 100), target(320, 60)])).toEqual([[0, 1]]);
  expect(findRods(sky, [target(60, 100), target(320, 60), target(100, 150)])).toEqual([]);
  expect(findRods(sky, [target(60, 100)])).toEqual([]);
});
