import { expect, it } from "vitest";
import { loupePlace } from "../../../src/renderer/frame/loupe-place.ts";
import fc from "../../support/drawn-inputs.ts";

const view = { width: 800, height: 500 };

it("stands up and to the right of the pointer while there is room", () => {
  const [x, y] = loupePlace([300, 300], 60, 20, view);
  expect(x).toBeCloseTo(300 + 80 * Math.SQRT1_2, 9);
  expect(y).toBeCloseTo(300 - 80 * Math.SQRT1_2, 9);
});

it("is always at least the gap away from the pointer, never over it", () => {
  fc.assert(
    fc.property(fc.integer({ min: 0, max: 800 }), fc.integer({ min: 0, max: 500 }), (px, py) => {
      const [x, y] = loupePlace([px, py], 60, 20, view);
      expect(Math.hypot(x - px, y - py)).toBeGreaterThanOrEqual(80 - 1e-9);
    }),
  );
});

it("stays inside the view wherever the pointer is", () => {
  fc.assert(
    fc.property(fc.integer({ min: 0, max: 800 }), fc.integer({ min: 0, max: 500 }), (px, py) => {
      const [x, y] = loupePlace([px, py], 60, 20, view);
      expect(x - 60).toBeGreaterThanOrEqual(0);
      expect(x + 60).toBeLessThanOrEqual(800);
      expect(y - 60).toBeGreaterThanOrEqual(0);
      expect(y + 60).toBeLessThanOrEqual(500);
    }),
  );
});
