import { expect, it } from "vitest";
import { createChance } from "../../../src/shared/quantity/chance.ts";

it("gives the same numbers for the same seed and others for another", () => {
  const draw = (seed: number) => {
    const chance = createChance(seed);
    return Array.from({ length: 5 }, () => chance.normal());
  };
  expect(draw(4)).toEqual(draw(4));
  expect(draw(4)).not.toEqual(draw(5));
});

it("has standard normal moments over 100 000 draws, to four standard errors", () => {
  const chance = createChance(1);
  const n = 100_000;
  const draws = Array.from({ length: n }, () => chance.normal());
  const mean = draws.reduce((sum, x) => sum + x, 0) / n;
  const variance = draws.reduce((sum, x) => sum + x * x, 0) / n;
  const fourth = draws.reduce((sum, x) => sum + x ** 4, 0) / n;
  expect(Math.abs(mean)).toBeLessThan(4 / Math.sqrt(n));
  expect(Math.abs(variance - 1)).toBeLessThan(4 * Math.sqrt(2 / n));
  expect(Math.abs(fourth - 3)).toBeLessThan(4 * Math.sqrt(96 / n));
});

it("starts neighbouring small seeds independently: their first normals are standard and uncorrelated", () => {
  const n = 4000;
  const first = Array.from({ length: n + 1 }, (_, i) => createChance(i).normal());
  const variance = first.reduce((sum, x) => sum + x * x, 0) / n;
  const correlation = first.slice(1).reduce((sum, x, i) => sum + x * first[i]!, 0) / n;
  expect(Math.abs(variance - 1)).toBeLessThan(4 * Math.sqrt(2 / n));
  expect(Math.abs(correlation)).toBeLessThan(4 / Math.sqrt(n));
});
