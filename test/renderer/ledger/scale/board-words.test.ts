import { expect, it } from "vitest";
import type { BoardView } from "../../../../src/renderer/app-state/picked-so-far.ts";
import { boardFound } from "../../../../src/renderer/ledger/scale/board-words.ts";
import { createChance } from "../../../../src/shared/quantity/chance.ts";
import { rotationOf, viewed } from "../../../../src/shared/scale/board-pose.ts";
import { bent } from "../../../../src/shared/scale/distortion.ts";
import { LensSchema } from "../../../../src/shared/session/camera-schemas.ts";

const LENS = { k1: -0.15, k2: 0.05, k3: 0, p1: 0, p2: 0 };
const TILTED = [
  [0.4, 0.1, 0.05, -0.25, -0.18, 0.9],
  [-0.45, 0.05, -0.1, -0.3, -0.15, 0.95],
  [0.05, 0.5, 0.1, -0.2, -0.2, 0.85],
  [-0.1, -0.45, 0, -0.3, -0.18, 1],
] as const;

/** A board of 6 by 5 crossings, 0.1 m apart, seen by a lens of f = 1600 px in a picture of 1920 by 1080. */
function views(poses: readonly (readonly number[])[], keep = 30): BoardView[] {
  return poses.map(([rx, ry, rz, tx, ty, tz], i) => ({
    frame: 10 * i,
    points: Array.from({ length: 30 }, (_, k) => {
      const [column, row] = [k % 6, Math.floor(k / 6)];
      const [x, y] = bent(
        LENS,
        viewed(rotationOf(rx!, ry!, rz!), [tx!, ty!, tz!], [0.1 * column, 0.1 * row])!,
      );
      return { column, row, at: [1600 * x + 960, 1600 * y + 540] as const };
    }).slice(0, keep),
  }));
}
const found = (picked: readonly BoardView[]) => boardFound(picked, [1920, 1080], 0.5);

it("gives the lens the board was seen by, with its u, as the document holds it", () => {
  const { text, lens } = found(views(TILTED));
  expect(text).toMatch(
    /^120 crossings in 4 frames give a focal length of 1600 ± \d+ px and a bend k1 of −0\.15\d* ± 0\.0\d+, and are left 0\.00 px off/,
  );
  expect(LensSchema.parse(lens)).toEqual(lens);
  expect(lens!.focalPx).toBeCloseTo(1600, 3);
  expect(lens!.k1).toBeCloseTo(-0.15, 5);
  expect(lens!.madeFrom).toMatchObject({ by: "board", points: 120 });
});

it("names a crossing that was clicked wrong by its column, row and frame", () => {
  const [first, second, ...rest] = views(TILTED) as [BoardView, BoardView, BoardView, BoardView];
  const wrong = second.points.map((one) =>
    one.column === 3 && one.row === 2 ? { ...one, at: [one.at[0] + 8, one.at[1]] as const } : one,
  );
  expect(found([first, { ...second, points: wrong }, ...rest]).text).toMatch(
    / The crossing in column 4, row 3 of frame 10 is [\d.]+ u off: look at it again\.$/,
  );
});

it("says what is missing: frames, tilt, and crossings that are not in one line", () => {
  expect(found(views(TILTED.slice(0, 1))).text).toMatch(/two or more frames/);
  const square = [
    [0, 0, 0.05, -0.25, -0.18, 0.9],
    [0, 0, -0.1, -0.2, -0.2, 1],
  ];
  const chance = createChance(2);
  const noisy = views(square).map((view) => ({
    ...view,
    points: view.points.map((one) => ({
      ...one,
      at: [one.at[0] + 0.3 * chance.normal(), one.at[1] + 0.3 * chance.normal()] as const,
    })),
  }));
  expect(found(noisy)).toMatchObject({
    lens: null,
    text: expect.stringMatching(/square to the camera/),
  });
  const line = views(TILTED);
  expect(found([{ ...line[0]!, points: line[0]!.points.slice(0, 5) }, ...line.slice(1)]).text).toMatch(
    /^The crossings of frame 0 lie too nearly in one line/,
  );
});
