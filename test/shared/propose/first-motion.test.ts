import { expect, it } from "vitest";
import { firstMoved, launchIn, tileMeans } from "../../../src/shared/propose/first-motion.ts";
import { createChance } from "../../../src/shared/quantity/chance.ts";

it("finds the stretch in which most moves, beside noise, a flash and somebody who walks by", () => {
  const levels: (number | null)[] = Array.from({ length: 200 }, (_, frame) => 1 + (frame % 3));
  levels[0] = null;
  levels[20] = 90; // a flash: one frame
  for (let frame = 40; frame < 60; frame++) levels[frame] = 14; // somebody walks by
  for (let frame = 120; frame < 150; frame++) levels[frame] = 60;
  levels[130] = 0; // a repeated frame within the launch
  expect(launchIn(levels)).toEqual({ first: 120, last: 149 });
});

it("finds none where nothing moves, or all moves alike throughout", () => {
  expect(launchIn([null, 1, 2, 1, 3, 2, 1])).toBeNull();
  expect(launchIn(Array.from({ length: 90 }, (_, i) => 30 + (i % 5)))).toBeNull();
  expect(launchIn([])).toBeNull();
});

it("takes the mean of each tile of 8 by 8 px, and leaves out what is over", () => {
  const data = Float32Array.from({ length: 20 * 9 }, (_, i) => (i % 20 < 8 ? 10 : 30));
  expect([...tileMeans({ width: 20, height: 9, data })]).toEqual([10, 30]);
});

it("tells the first picture that differs and stays so, an edge that moves by half a pixel among noise", () => {
  const chance = createChance(5);
  const picture = (edge: number) =>
    tileMeans({
      width: 64,
      height: 32,
      data: Float32Array.from({ length: 64 * 32 }, (_, i) => {
        const share = Math.max(0, Math.min(1, edge - (i % 64)));
        return 60 + 100 * share + 2 * chance.normal();
      }),
    });
  const edges = Array.from({ length: 20 }, (_, i) => (i < 14 ? 21 : 21 + 0.5 * (i - 13) ** 2));
  expect(firstMoved(edges.map(picture))).toBe(14);
  expect(firstMoved(Array.from({ length: 12 }, () => picture(21)))).toBeNull();
  expect(firstMoved([])).toBeNull();
});
