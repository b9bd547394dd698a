import { expect, it } from "vitest";
import {
  frameAtX,
  launchRange,
  niceStep,
  pannedRange,
  tickStep,
  xOfFrame,
  zoomedRange,
} from "../../../src/renderer/strip/strip-range.ts";
import fc from "../../support/drawn-inputs.ts";

it("gives back the frame whose tick is pointed at", () => {
  const range = { from: 20, to: 99 };
  for (const frame of [20, 21, 57, 99]) expect(frameAtX(range, 640, xOfFrame(range, 640, frame))).toBe(frame);
  expect([frameAtX(range, 640, -50), frameAtX(range, 640, 9999)]).toEqual([20, 99]);
});

it("keeps the range inside the clip and at least 12 frames long while zooming", () => {
  fc.assert(
    fc.property(
      fc.double({ min: 0.01, max: 100, noNaN: true }),
      fc.integer({ min: 0, max: 177 }),
      (factor, about) => {
        const range = zoomedRange({ from: 30, to: 150 }, factor, about, 178);
        expect(range.from).toBeGreaterThanOrEqual(0);
        expect(range.to).toBeLessThanOrEqual(177);
        expect(range.to - range.from).toBeGreaterThanOrEqual(12 - 1e-9);
      },
    ),
  );
});

it("keeps the frame under the pointer where it is while zooming inside the clip", () => {
  const before = { from: 60, to: 120 };
  const after = zoomedRange(before, 2, 80, 500);
  expect(xOfFrame(after, 600, 80) / 600).toBeCloseTo(xOfFrame(before, 600, 80) / 600, 2);
});

it("moves the range and stops at the ends of the clip", () => {
  expect(pannedRange({ from: 10, to: 60 }, 20, 178)).toEqual({ from: 30, to: 80 });
  expect(pannedRange({ from: 10, to: 60 }, -99, 178)).toEqual({ from: 0, to: 50 });
  expect(pannedRange({ from: 10, to: 60 }, 999, 178)).toEqual({ from: 127, to: 177 });
});

it("shows the marked part with a margin of a tenth, the whole clip without marks", () => {
  expect(launchRange([100, 140, 200], 1000)).toEqual({ from: 90, to: 210 });
  expect(launchRange([5], 1000)).toEqual({ from: 0, to: 999 });
  expect(launchRange([2, 170], 178)).toEqual({ from: 0, to: 177 });
});

it("spaces ticks by 1, 2, 5, 10 so that they stand apart", () => {
  expect(tickStep({ from: 0, to: 99 }, 800, 3)).toBe(1);
  expect(tickStep({ from: 0, to: 999 }, 800, 3)).toBe(5);
  expect([niceStep(0.7), niceStep(1), niceStep(1.1), niceStep(34), niceStep(51)]).toEqual([1, 1, 2, 50, 100]);
});
