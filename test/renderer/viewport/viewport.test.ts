import { describe, expect, it } from "vitest";
import {
  fitted,
  panned,
  revealed,
  toPicture,
  toScreen,
  zoomedAt,
} from "../../../src/renderer/viewport/viewport.ts";
import fc from "../../support/drawn-inputs.ts";

const view = { width: 800, height: 500 };
const picture = { width: 1920, height: 1080 };

describe("fitted", () => {
  it("shows the whole picture, centred, at the scale of the tighter side", () => {
    const viewport = fitted(view, picture);
    expect(viewport.scale).toBeCloseTo(800 / 1920, 12);
    expect(viewport.x).toBeCloseTo(0, 9);
    expect(viewport.y).toBeCloseTo((500 - 450) / 2, 9);
  });
  it("gives scale 1 for a view without area", () => {
    expect(fitted({ width: 0, height: 0 }, picture)).toEqual({ scale: 1, x: 0, y: 0 });
  });
});

describe("zoomedAt", () => {
  it("keeps the picture place under the pointer under it", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.8, max: 6, noNaN: true }),
        fc.tuple(
          fc.double({ min: 200, max: 600, noNaN: true }),
          fc.double({ min: 100, max: 400, noNaN: true }),
        ),
        (factor, at) => {
          const start = { scale: 1, x: -400, y: -200 };
          const before = toPicture(start, at);
          const after = toScreen(zoomedAt(start, factor, at, view, picture), before);
          expect(after[0]).toBeCloseTo(at[0], 6);
          expect(after[1]).toBeCloseTo(at[1], 6);
        },
      ),
    );
  });
  it("holds the scale between half of the fitted one and 40", () => {
    const start = fitted(view, picture);
    expect(zoomedAt(start, 1e6, [400, 250], view, picture).scale).toBe(40);
    expect(zoomedAt(start, 1e-6, [400, 250], view, picture).scale).toBeCloseTo(start.scale / 2, 12);
  });
});

describe("panned", () => {
  it("moves the picture, but never wholly out of view", () => {
    const start = { scale: 1, x: -400, y: -200 };
    expect(panned(start, 30, -7, view, picture)).toEqual({ scale: 1, x: -370, y: -207 });
    expect(panned(start, 1e5, -1e5, view, picture)).toEqual({ scale: 1, x: 740, y: 60 - 1080 });
  });
});

describe("revealed", () => {
  const viewport = { scale: 2, x: -100, y: -50 };
  it("moves the picture just so far that the place stands the margin inside the view", () => {
    expect(toScreen(revealed(viewport, [1000, 20], view, 80), [1000, 20])).toEqual([720, 80]);
  });
  it("gives the same viewport when the place is in view already", () => {
    expect(revealed(viewport, [200, 150], view, 80)).toBe(viewport);
  });
});

it("toPicture undoes toScreen", () => {
  const viewport = { scale: 0.37, x: 12.5, y: -4 };
  const [x, y] = toPicture(viewport, toScreen(viewport, [123.4, 567.8]));
  expect(x).toBeCloseTo(123.4, 9);
  expect(y).toBeCloseTo(567.8, 9);
});
