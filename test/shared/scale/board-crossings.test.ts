import { describe, expect, it } from "vitest";
import {
  type Crossing,
  crossingAt,
  crossingsToCome,
  outerCrossings,
} from "../../../src/shared/scale/board-crossings.ts";

const SIZE = { columns: 7, rows: 5 };
/** A board seen from the left: (x, y, 1) by the rows of a 3 by 3 matrix worked by hand. */
function seen(column: number, row: number): readonly [number, number] {
  const w = 1 + 0.05 * column + 0.02 * row;
  return [(300 + 90 * column + 5 * row) / w, (200 + 8 * column + 85 * row) / w];
}
const OUTER: Crossing[] = outerCrossings(SIZE).map((one) => ({ ...one, at: seen(one.column, one.row) }));

it("goes round the outer crossings from the top left", () => {
  expect(outerCrossings(SIZE)).toEqual([
    { column: 0, row: 0 },
    { column: 6, row: 0 },
    { column: 6, row: 4 },
    { column: 0, row: 4 },
  ]);
});

describe("crossingAt", () => {
  it("takes a click near each inner crossing for that one, in perspective", () => {
    for (let row = 0; row < 5; row++) {
      for (let column = 0; column < 7; column++) {
        const [x, y] = seen(column, row);
        expect(crossingAt(OUTER, SIZE, [x + 6, y - 5])).toEqual({ column, row });
      }
    }
  });

  it("takes a click in the middle of a field, off the board, or before there are four, for none", () => {
    expect(crossingAt(OUTER, SIZE, seen(2.5, 1.5))).toBeNull();
    expect(crossingAt(OUTER, SIZE, seen(7, 2))).toBeNull();
    expect(crossingAt(OUTER, SIZE, seen(2, -1))).toBeNull();
    expect(crossingAt(OUTER.slice(0, 3), SIZE, seen(2, 2))).toBeNull();
  });

  it("goes by further picks too, where a lens bends the board", () => {
    const bent = ([x, y]: readonly [number, number]): readonly [number, number] => [
      x,
      y + 4e-4 * (x - 500) ** 2,
    ];
    const outer = OUTER.map((one) => ({ ...one, at: bent(one.at) }));
    const inner = { column: 3, row: 2, at: bent(seen(3, 2)) };
    const miss = (picked: readonly Crossing[]) => {
      const to = crossingsToCome(picked, SIZE).find((one) => one.column === 3 && one.row === 1)!.at;
      const [x, y] = bent(seen(3, 1));
      return Math.hypot(to[0] - x, to[1] - y);
    };
    expect(miss([...outer, inner])).toBeLessThan(miss(outer));
  });
});

it("shows where the crossings to come are, without those picked", () => {
  const come = crossingsToCome(OUTER, SIZE);
  expect(come).toHaveLength(7 * 5 - 4);
  for (const { column, row, at } of come) {
    const [x, y] = seen(column, row);
    expect(Math.hypot(at[0] - x, at[1] - y)).toBeLessThan(1e-6);
  }
  expect(crossingsToCome(OUTER.slice(1), SIZE)).toEqual([]);
});
