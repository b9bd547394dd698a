import { expect, it } from "vitest";
import { bestPlace, overlap, spread } from "../../../src/shared/figures/place-labels.ts";
import fc from "../../support/drawn-inputs.ts";

it("spread leaves labels where they are when none is too near", () => {
  expect(spread([40, 10, 80], 15, 0, 100)).toEqual([40, 10, 80]);
});

it("spread shares the lack between two labels", () => {
  expect(spread([50, 52], 16, 0, 100)).toEqual([43, 59]);
  expect(spread([52, 50], 16, 0, 100)).toEqual([59, 43]);
});

it("spread keeps the gap, the order and the limits for any labels that fit", () => {
  fc.assert(
    fc.property(
      fc.array(fc.double({ min: -50, max: 250, noNaN: true }), { minLength: 1, maxLength: 6 }),
      (wanted) => {
        const got = spread(wanted, 15, 0, 200);
        const order = wanted.map((_, i) => i).sort((i, j) => wanted[i]! - wanted[j]! || i - j);
        order.forEach((i, k) => {
          expect(got[i]).toBeGreaterThanOrEqual(-1e-9);
          expect(got[i]).toBeLessThanOrEqual(200 + 1e-9);
          if (k > 0) expect(got[i]! - got[order[k - 1]!]!).toBeGreaterThan(15 - 0.01);
        });
      },
    ),
  );
});

it("bestPlace takes the first place that is in bounds and touches nothing", () => {
  const bounds = { x: 0, y: 0, width: 100, height: 100 };
  const box = (x: number, y: number) => ({ x, y, width: 20, height: 10 });
  const candidates = [box(95, 5), box(10, 10), box(40, 10), box(70, 50)];
  expect(bestPlace(candidates, bounds, [box(25, 5)], [[50, 15]])).toEqual(box(70, 50));
  expect(bestPlace(candidates, bounds, [box(15, 5)], [])).toEqual(box(40, 10));
});

it("bestPlace takes the place that touches least when none is clear", () => {
  const bounds = { x: 0, y: 0, width: 100, height: 100 };
  const [a, b] = [
    { x: 0, y: 0, width: 20, height: 10 },
    { x: 30, y: 0, width: 20, height: 10 },
  ];
  const points = [
    [5, 5],
    [10, 5],
    [35, 5],
  ] as const;
  expect(bestPlace([a, b], bounds, [], points)).toEqual(b);
});

it("overlap is false for boxes that only touch", () => {
  const box = { x: 0, y: 0, width: 20, height: 10 };
  expect(overlap(box, { ...box, x: 20 })).toBe(false);
  expect(overlap(box, { ...box, x: 19, y: 9 })).toBe(true);
});
