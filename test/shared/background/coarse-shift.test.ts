import { expect, it } from "vitest";
import { coarseShift, smallPicture } from "../../../src/shared/background/coarse-shift.ts";
import type { PxPoint } from "../../../src/shared/quantity/point.ts";
import { drawn } from "./drawn-scene.ts";

const seenFrom = (shift: PxPoint, seed: number) =>
  smallPicture(drawn(([x, y]) => [x - shift[0], y - shift[1]], seed));

it("finds how far a picture moved, up to half of its sides, to a third of a square", () => {
  const before = seenFrom([0, 0], 1);
  const shifts: readonly PxPoint[] = [
    [2.5, -1],
    [37, 12],
    [-150, 61],
    [211, -148],
    [-8, 160],
  ];
  shifts.forEach((shift, i) => {
    const [dx, dy] = coarseShift(before, seenFrom(shift, i + 2))!;
    expect(Math.hypot(dx - shift[0], dy - shift[1]) / before.side).toBeLessThan(0.3);
  });
});

it("finds none between pictures of two scenes, or of two sizes", () => {
  const before = seenFrom([0, 0], 1);
  expect(coarseShift(before, seenFrom([2000, 2000], 2))).toBeNull();
  expect(coarseShift(before, smallPicture({ data: new Uint8Array(400), width: 20, height: 20 }))).toBeNull();
});
