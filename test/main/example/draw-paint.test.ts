import { expect, it } from "vitest";
import { colour, fill, makeCanvas } from "../../../src/main/example/draw-paint.ts";
import { bar, circle, type Outline } from "../../../src/main/example/draw-shape.ts";

const WHITE = [1, 0, 0] as const;

function painted(outline: Outline, left = 0, top = 0, width = 8, height = 6) {
  const canvas = makeCanvas(left, top, width, height);
  fill(canvas, outline, WHITE);
  return canvas.y;
}
const total = (plane: Float32Array) => plane.reduce((sum, one) => sum + one, 0);

it("covers each pixel by the area of a rectangle in it, worked by hand", () => {
  const plane = painted([
    [1.25, 2.5],
    [3.5, 2.5],
    [3.5, 4.75],
    [1.25, 4.75],
  ]);
  const row = (y: number) => Array.from(plane.slice(y * 8, y * 8 + 5));
  expect(row(1)).toEqual([0, 0, 0, 0, 0]);
  expect(row(2)).toEqual([0, 0.375, 0.5, 0.25, 0]);
  expect(row(3)).toEqual([0, 0.75, 1, 0.5, 0]);
  expect(row(4)).toEqual([0, 0.5625, 0.75, 0.375, 0]);
});

it("covers in all the exact area of a slanted triangle, whichever way round it is given", () => {
  const corners: Outline = [
    [0.3, 0.2],
    [7.1, 1.9],
    [2.2, 5.6],
  ];
  const area = Math.abs((7.1 - 0.3) * (5.6 - 0.2) - (2.2 - 0.3) * (1.9 - 0.2)) / 2;
  expect(total(painted(corners))).toBeCloseTo(area, 4);
  expect(total(painted([...corners].reverse()))).toBeCloseTo(area, 4);
});

it("puts the middle of a disc where it was asked for, to a thousandth of a pixel in the mean over 64 places", () => {
  // Weighing whole pixels at their centres errs by up to 0.01 px for a disc this small, by what repeats every
  // pixel; the mean over places an eighth of a pixel apart leaves 8^-5/2 of that.
  let [errX, errY, area] = [0, 0, 0];
  for (let i = 0; i < 64; i++) {
    const [cx, cy] = [3.1 + (i % 8) / 8, 2.7 + Math.floor(i / 8) / 8];
    const plane = painted(circle([cx, cy], 2.1));
    const moment = (place: (i: number) => number) =>
      plane.reduce((sum, cover, k) => sum + cover * place(k), 0) / total(plane);
    errX += (moment((k) => (k % 8) + 0.5) - cx) / 64;
    errY += (moment((k) => Math.floor(k / 8) + 0.5) - cy) / 64;
    area += total(plane) / 64;
  }
  expect(errX).toBeCloseTo(0, 3);
  expect(errY).toBeCloseTo(0, 3);
  expect(area / (Math.PI * 2.1 ** 2)).toBeCloseTo(1, 3); // a polygon of 144 corners: 3e-4 less than the disc
});

it("paints the same pixels of a shape on any part of the picture", () => {
  const outline = bar([-2.4, -1.3], [9.2, 7.7], 3.3, 1.1);
  const whole = painted(outline, -4, -4, 16, 14);
  const part = painted(outline, 1, 2, 5, 3);
  for (let row = 0; row < 3; row++) {
    const from = (row + 6) * 16 + 5;
    expect(Array.from(part.slice(row * 5, row * 5 + 5))).toEqual(Array.from(whole.slice(from, from + 5)));
  }
});

it("lets what is below through by one less alpha", () => {
  const canvas = makeCanvas(0, 0, 2, 2);
  canvas.y.fill(100);
  fill(canvas, bar([0, 1], [2, 1], 2), [200, 0, 0], 0.25);
  expect(Array.from(canvas.y)).toEqual([125, 125, 125, 125]);
});

it("turns white, black and green of the screen into luma and colour difference of BT.709", () => {
  expect(colour("#ffffff")).toEqual([235, expect.closeTo(128, 9), expect.closeTo(128, 9)]);
  expect(colour("#000000")).toEqual([16, 128, 128]);
  // Published 8-bit values of full-amplitude green: 173, 42, 26 (to rounding).
  expect(colour("#00ff00").map(Math.round)).toEqual([173, 42, 26]);
});
