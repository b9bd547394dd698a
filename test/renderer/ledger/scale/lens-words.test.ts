import { expect, it } from "vitest";
import { lensFound } from "../../../../src/renderer/ledger/scale/lens-words.ts";
import { LensSchema } from "../../../../src/shared/session/camera-schemas.ts";

const picture = [1920, 1080] as const;
const K1 = -0.12;
/** The seen place of a straight-line place, by the radial term alone. */
function bent(x: number, y: number): [number, number] {
  const [u, v] = [(x - 960) / 1920, (y - 540) / 1920];
  const stretch = 1 + K1 * (u * u + v * v);
  return [960 + 1920 * u * stretch, 540 + 1920 * v * stretch];
}
const along = [100, 400, 700, 1000, 1300, 1600, 1850];
const lines = [along.map((x) => bent(x, 60)), along.map((x) => bent(x, 1020))];

it("finds the bend of exact lines, says how far the points were off, and gives what a camera can keep", () => {
  const { text, lens } = lensFound(lines, picture, 0.5);
  const [, before, after] = /lie ([\d.]+) px from straight lines as seen, ([\d.]+) px/.exec(text)!;
  expect(Number(before)).toBeGreaterThan(3);
  expect(Number(after)).toBeLessThan(0.01);
  expect(lens!.k1).toBeCloseTo(K1, 4);
  expect(LensSchema.parse(lens)).toEqual(lens);
});

it("names a point that lies far off its line, counting lines as they were drawn", () => {
  const off = lines[1]!.map(([x, y], i): [number, number] => [x, i === 3 ? y + 9 : y]);
  expect(lensFound([[], lines[0]!, off], picture, 0.5).text).toMatch(/Point 4 of line 3 is .* u off/);
});

it("asks for more, and for lines off the middle, in words", () => {
  expect(lensFound([lines[0]!.slice(0, 3)], picture, 0.5)).toEqual({
    text: expect.stringMatching(/^More points/),
    lens: null,
  });
  const middle = [along.map((x) => bent(x, 540)), along.map((x) => bent(x, 545))];
  expect(lensFound(middle, picture, 0.5).text).toMatch(/middle of the picture/);
});
