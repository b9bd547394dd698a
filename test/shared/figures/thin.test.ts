import { expect, it } from "vitest";
import { thinned } from "../../../src/shared/figures/thin.ts";

const same = (point: readonly number[]) => point;

it("keeps the ends and whatever moved far enough in any coordinate", () => {
  const points = [
    [0, 0],
    [0.4, 0],
    [0.8, 0],
    [0.9, 5],
    [1.0, 5.1],
    [1.1, 5.1],
  ];
  expect(thinned(points, same, 0.7)).toEqual([points[0], points[2], points[3], points[5]]);
});

it("keeps a gap and the first point after it", () => {
  const points = [
    [0, 0],
    [0.1, Number.NaN],
    [0.2, 0],
    [0.3, 0],
    [9, 0],
  ];
  expect(thinned(points, same, 0.7)).toEqual([points[0], points[1], points[2], points[4]]);
});

it("loses no more than the least distance: a peak of one sample stays within it", () => {
  const wave = Array.from({ length: 5000 }, (_, i) => [i / 10, i === 2501 ? 40 : Math.sin(i / 700)]);
  const kept = thinned(wave, same, 0.7);
  expect(kept.length).toBeLessThan(800);
  expect(kept).toContainEqual([250.1, 40]);
});
