import { expect, it } from "vitest";
import { freshRam } from "../../../src/shared/launchers/ram/fresh-ram.ts";
import { ramSketch } from "../../../src/shared/launchers/ram/ram-sketch.ts";
import { grown } from "../../../src/shared/launchers/sketch.ts";

it("grows a length by the logarithm of its number over the plausible range, within its limits", () => {
  expect(grown([0.01, 1], 0.1, 20, 30)).toBeCloseTo(25, 12); // halfway by decades
  expect(grown([0.01, 1], -0.1, 20, 30)).toBeCloseTo(25, 12);
  expect(grown([0.01, 1], 5, 20, 30)).toBe(30);
  expect(grown([0.01, 1], 0, 20, 30)).toBe(20);
  expect(grown([0, 1000], 1, 0, 6)).toBe(0); // a thousandth of the end
  expect(grown([0, 1000], 10, 0, 6)).toBeCloseTo(2, 12);
});

it("draws a ram's stroke from the piston's face to the muzzle: 50 to 140 for 0.02 to 8 m", () => {
  const stroke = (metres: number) => {
    const ram = { ...freshRam(), strokeM: { value: metres, u: 0 } };
    const part = ramSketch(ram).parts.find(({ names }) => names.includes("strokeM"))!;
    const [from, to] = part.shapes.find(({ form }) => form === "measure")!.points as [number, number][];
    return to![0] - from![0];
  };
  expect(stroke(0.02)).toBeCloseTo(50, 9);
  expect(stroke(0.4)).toBeCloseTo(95, 9); // the geometric mean
  expect(stroke(8)).toBeCloseTo(140, 9);
});
