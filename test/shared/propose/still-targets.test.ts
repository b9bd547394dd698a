import { expect, it } from "vitest";
import { stillAmong } from "../../../src/shared/propose/still-targets.ts";

const at = (...places: readonly (readonly [number, number])[]) => places.map((place) => ({ at: place }));
/** Nose and tail, and the ends of a rod. */
const BEFORE = at([300, 200], [200, 210], [100, 400], [500, 404]);

it("tells what stands from what flies, with a camera that stands and with one in the hand", () => {
  const flown = [
    [420, 170],
    [320, 181],
  ] as const;
  expect(stillAmong(BEFORE, at(...flown, [100.3, 400.2], [500.2, 404.1]))).toEqual([
    false,
    false,
    true,
    true,
  ]);
  expect(stillAmong(BEFORE, at(...flown, [111, 392.5], [511.3, 396]))).toEqual([false, false, true, true]);
});

it("takes the smaller of two shifts that as many targets show, and none that a single one shows", () => {
  const moved = at([330, 200], [230, 210], [104, 400], [504, 404]);
  expect(stillAmong(BEFORE, moved)).toEqual([false, false, true, true]);
  expect(stillAmong(BEFORE, at([330, 205]))).toEqual([false, false, false, false]);
  expect(stillAmong(BEFORE, [])).toEqual([false, false, false, false]);
  expect(stillAmong([], moved)).toEqual([]);
});
