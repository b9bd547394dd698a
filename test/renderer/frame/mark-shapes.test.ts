import { expect, it } from "vitest";
import { outlineOf, pointSigns, SHAPE_NAMES } from "../../../src/renderer/frame/mark-shapes.ts";

it("keeps the centre of every shape clear: no line comes nearer than half its radius", () => {
  for (const shape of SHAPE_NAMES) {
    const { lines, closed } = outlineOf(shape, 10);
    for (const line of lines) {
      const ends = closed ? [...line, line[0]!] : line;
      for (let i = 1; i < ends.length; i++) {
        for (let t = 0; t <= 1; t += 0.05) {
          const x = ends[i - 1]![0] * (1 - t) + ends[i]![0] * t;
          const y = ends[i - 1]![1] * (1 - t) + ends[i]![1] * t;
          expect(Math.hypot(x, y), shape).toBeGreaterThan(5);
        }
      }
    }
  }
});

it("gives every point its own shape, and its own letter: the first of its name that is free, else its number", () => {
  const points = ["nose", "nib", "tail", "on", "n"].map((name, i) => ({ id: `p${i}`, name }));
  const signs = [...pointSigns(points).values()];
  expect(signs.map(({ letter }) => letter)).toEqual(["N", "I", "T", "O", "5"]);
  expect(new Set(signs.map(({ shape }) => shape)).size).toBe(5);
});
