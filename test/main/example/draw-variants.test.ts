import { describe, expect, it } from "vitest";
import { createFramePainter, type FramePainter } from "../../../src/main/example/draw-frame.ts";
import { exampleCamera } from "../../../src/main/example/example-camera.ts";
import { examplePixel } from "../../../src/main/example/example-motion.ts";
import {
  PICTURE,
  type Pixel,
  TRUE_POSTS,
  TRUE_SCALE_ROD,
  worldToPixel,
} from "../../../src/main/example/example-scene.ts";
import type { ExampleVariant } from "../../../src/main/example/example-variant.ts";
import { findMiddle } from "./find-middle.ts";

const { width, height } = PICTURE;

const painters = new Map<ExampleVariant, FramePainter>();

/** The painter of a variant: what does not move is drawn once for all tests. */
function painterOf(variant: ExampleVariant): FramePainter {
  const painter = painters.get(variant) ?? createFramePainter(1, variant);
  painters.set(variant, painter);
  return painter;
}

/** px between where a target is found in a picture and where it should be; the search begins elsewhere. */
function missed(values: ArrayLike<number>, [x, y]: Pixel, radius: number): number {
  const found = findMiddle({ width, values }, [x + 0.23, y - 0.31], radius);
  return Math.hypot(found[0] - x, found[1] - y);
}

describe("draws the middle of each target within 0.1 px of where the variant's camera sees it", () => {
  const cases: readonly (readonly [ExampleVariant, readonly number[]])[] = [
    ["lens", [3, 124]],
    ["turned", [3, 124, 170]],
    ["shutter", [60, 124, 170]],
    ["shake", [3, 90, 170]],
    ["all", [3, 90, 150]],
  ];
  for (const [variant, frames] of cases) {
    it(`of "${variant}" in frames ${frames.join(", ")}: nose, tail, scale board, posts`, () => {
      const painter = painterOf(variant);
      const camera = exampleCamera(variant);
      for (const frame of frames) {
        const { y } = painter.clean(frame);
        const still = (place: readonly [number, number]) =>
          camera.seen(worldToPixel(place), camera.timeOf(frame));
        for (const target of ["nose", "tail"] as const) {
          expect(missed(y, examplePixel(target, frame, variant), 9)).toBeLessThan(0.1);
        }
        for (const end of ["a", "b"] as const)
          expect(missed(y, still(TRUE_SCALE_ROD[end]), 9)).toBeLessThan(0.1);
        if (variant !== "shake" && variant !== "all") continue;
        for (const place of Object.values(TRUE_POSTS)) expect(missed(y, still(place), 9)).toBeLessThan(0.1);
      }
    });
  }
});

it("moves the targets of the variants away from where the plain camera has them, so that the tests above can fail", () => {
  for (const variant of ["lens", "turned", "shutter", "shake"] as const) {
    const [a, b] = [examplePixel("tail", 150), examplePixel("tail", 150, variant)];
    expect(Math.hypot(a[0] - b[0], a[1] - b[1])).toBeGreaterThan(0.5);
  }
});

it("repeats a lost frame byte for byte, noise and all, and no other", () => {
  const painter = createFramePainter(1, "repeats");
  const [before, repeat, after] = [138, 139, 140].map((frame) => {
    const bytes = new Uint8Array(painter.bytes);
    painter.paint(frame, bytes);
    return bytes;
  }) as [Uint8Array, Uint8Array, Uint8Array];
  expect(Buffer.compare(before, repeat)).toBe(0);
  expect(Buffer.compare(repeat, after)).not.toBe(0);
});

it("paints the whole shaken picture in the clean one's grey, with the noise's spread, and the colours of sky and grass", () => {
  const painter = painterOf("shake");
  const bytes = new Uint8Array(painter.bytes);
  painter.paint(40, bytes);
  const { y: clean, cb } = painter.clean(40);
  let [sum, square] = [0, 0];
  const n = width * height;
  for (let i = 0; i < n; i++) {
    const off = bytes[i]! - clean[i]!;
    sum += off;
    square += off * off;
  }
  expect(Math.abs(sum / n)).toBeLessThan(0.02);
  expect(Math.abs(square / n - (4 + 1 / 12))).toBeLessThan(0.05);
  for (const [x, y] of [
    [1000, 40],
    [1500, 990],
    [300, 800],
  ] as const) {
    const stored = bytes[n + (y / 2) * (width / 2) + x / 2]!;
    const mean = [0, 1, width, width + 1].reduce((total, k) => total + cb[y * width + x + k]! / 4, 0);
    expect(Math.abs(stored - mean)).toBeLessThan(2);
  }
});
