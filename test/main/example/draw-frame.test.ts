import { beforeAll, describe, expect, it } from "vitest";
import { createFramePainter, type FramePainter } from "../../../src/main/example/draw-frame.ts";
import { examplePixel } from "../../../src/main/example/example-motion.ts";
import {
  PICTURE,
  TRUE_CAMERA,
  TRUE_PLUMB,
  TRUE_SCALE_ROD,
  worldToPixel,
} from "../../../src/main/example/example-scene.ts";
import { findMiddle } from "./find-middle.ts";

const { width, height } = PICTURE;
const STILL = 3;
const PEAK = 48;
const RELEASE = 124;
const LAST = TRUE_CAMERA.frames - 1;
let painter: FramePainter;

beforeAll(() => {
  painter = createFramePainter(1);
});

describe("draws the middle of each target within 0.05 px of where the truth says", () => {
  for (const frame of [STILL, PEAK, RELEASE, LAST]) {
    it(`of nose and tail in frame ${frame}, blur and all`, () => {
      const grey = { width, values: painter.clean(frame).y };
      for (const target of ["nose", "tail"] as const) {
        const [x, y] = examplePixel(target, frame);
        // Begin the search away from the answer, so that finding it is no accident of where it began.
        const found = findMiddle(grey, [x + 0.13, y - 0.21], 9);
        expect(Math.abs(found[0] - x)).toBeLessThan(0.05);
        expect(Math.abs(found[1] - y)).toBeLessThan(0.05);
      }
    });
  }
  it("of both ends of the scale board", () => {
    const grey = { width, values: painter.clean(STILL).y };
    for (const end of ["a", "b"] as const) {
      const [x, y] = worldToPixel(TRUE_SCALE_ROD[end]);
      const found = findMiddle(grey, [x + 0.13, y - 0.21], 9);
      expect(Math.abs(found[0] - x)).toBeLessThan(0.05);
      expect(Math.abs(found[1] - y)).toBeLessThan(0.05);
    }
  });
});

it("draws the plumb line through its beads: darkest along the line in every tenth row between them", () => {
  const luma = painter.clean(STILL).y;
  const [top, bottom] = [worldToPixel(TRUE_PLUMB.top), worldToPixel(TRUE_PLUMB.bottom)];
  for (let row = Math.ceil(top[1]) + 12; row < bottom[1] - 12; row += 10) {
    const x = top[0] + ((bottom[0] - top[0]) * (row + 0.5 - top[1])) / (bottom[1] - top[1]);
    let [sum, weight] = [0, 0];
    const sky = (luma[row * width + Math.floor(x) - 6]! + luma[row * width + Math.floor(x) + 6]!) / 2;
    for (let i = Math.floor(x) - 4; i <= Math.floor(x) + 4; i++) {
      const dark = Math.max(0, sky - luma[row * width + i]! - 4);
      sum += dark * (i + 0.5);
      weight += dark;
    }
    expect(weight).toBeGreaterThan(50);
    expect(Math.abs(sum / weight - x)).toBeLessThan(0.1);
  }
});

it("moves nothing before the launch and only the box around airframe and rod after it", () => {
  const [before, still, flying] = [0, STILL, 140].map((frame) => painter.clean(frame).y) as [
    Float32Array,
    Float32Array,
    Float32Array,
  ];
  expect(still.every((luma, i) => luma === before[i])).toBe(true);
  let changed = 0;
  for (let i = 0; i < flying.length; i++) {
    if (flying[i] === still[i]) continue;
    changed++;
    const [x, y] = [i % width, Math.floor(i / width)];
    if (!(x > 400 && x < 1550 && y > 180 && y < 700)) throw new Error(`changed at ${x}, ${y}`);
  }
  expect(changed).toBeGreaterThan(20_000);
});

it("blurs along the flight by the exposure, and not across it", () => {
  // Black and white quarters meet along the target's axes. Across the border that stands square to the flight
  // the run from 10 % to 90 % is 0.8 of the blur's length, 0.8 px for the averaging in a pixel alone; along
  // the flight nothing changes.
  const run = (frame: number, across: boolean) => {
    const [nose, tail] = [examplePixel("nose", frame), examplePixel("tail", frame)];
    const length = Math.hypot(nose[0] - tail[0], nose[1] - tail[1]);
    const f = [(nose[0] - tail[0]) / length, (nose[1] - tail[1]) / length] as const;
    const [walk, aside] = across ? [[f[1], -f[0]] as const, f] : [f, [f[1], -f[0]] as const];
    const luma = painter.clean(frame).y;
    const samples = Array.from({ length: 241 }, (_, i) => {
      const s = (i - 120) / 20;
      return between(luma, nose[0] + s * walk[0] + 7 * aside[0], nose[1] + s * walk[1] + 7 * aside[1]);
    });
    const [low, high] = [Math.min(...samples), Math.max(...samples)];
    return samples.filter((v) => v > low + 0.1 * (high - low) && v < low + 0.9 * (high - low)).length / 20;
  };
  const blurPx = (13.9 * TRUE_CAMERA.exposureS) / TRUE_CAMERA.metresPerPx; // 2.4 px
  expect(run(LAST, false)).toBeGreaterThan(0.8 * blurPx);
  expect(run(LAST, false)).toBeLessThan(0.8 * blurPx + 1);
  expect(run(STILL, false)).toBeLessThan(1.6);
  expect(run(LAST, true)).toBeLessThan(1.6);
});

/** Luma between pixel centres, bilinear. */
function between(luma: Float32Array, x: number, y: number): number {
  const [i, j] = [Math.floor(x - 0.5), Math.floor(y - 0.5)];
  const [u, v] = [x - 0.5 - i, y - 0.5 - j];
  const k = j * width + i;
  return (
    (luma[k]! * (1 - u) + luma[k + 1]! * u) * (1 - v) +
    (luma[k + width]! * (1 - u) + luma[k + width + 1]! * u) * v
  );
}

it("adds noise of two grey levels that is the same for the same seed and another in every frame", () => {
  const [one, again, next] = [
    new Uint8Array(painter.bytes),
    new Uint8Array(painter.bytes),
    new Uint8Array(painter.bytes),
  ];
  painter.paint(STILL, one);
  createFramePainter(1).paint(STILL, again);
  painter.paint(STILL + 1, next);
  expect(Buffer.compare(one, again)).toBe(0);
  const clean = painter.clean(STILL).y;
  let [sum, square, together] = [0, 0, 0];
  const n = width * 400;
  for (let i = 0; i < n; i++) {
    const [a, b] = [one[i]! - clean[i]!, next[i]! - clean[i]!];
    sum += a;
    square += a * a;
    together += a * b;
  }
  expect(Math.abs(sum / n)).toBeLessThan(0.02);
  // Rounding to whole levels adds a variance of 1/12. The noise is drawn from a table of 2^20, so its
  // variance is good to 4 √(2 / 2^20).
  expect(Math.abs(square / n - (4 + 1 / 12))).toBeLessThan(4 * 4 * Math.sqrt(2 / 2 ** 20) + 0.02);
  expect(Math.abs(together / n)).toBeLessThan(0.05);
});

it("paints planes in the order of yuv420p with the sky blue and the grass green", () => {
  const bytes = new Uint8Array(painter.bytes);
  painter.paint(STILL, bytes);
  expect(painter.bytes).toBe((width * height * 3) / 2);
  const chroma = (plane: 0 | 1, x: number, y: number) =>
    bytes[width * height + (plane * width * height) / 4 + (y / 2) * (width / 2) + x / 2]!;
  expect(chroma(0, 1000, 40)).toBeGreaterThan(134); // Cb of sky
  expect(chroma(1, 1000, 40)).toBeLessThan(126);
  expect(chroma(0, 1000, 900)).toBeLessThan(118); // Cb of grass
});

it("throws RangeError for a frame outside the clip and a buffer too short, with the value", () => {
  expect(() => painter.clean(TRUE_CAMERA.frames)).toThrow(/from 0 to 177; got 178/);
  expect(() => painter.paint(-1, new Uint8Array(painter.bytes))).toThrow(RangeError);
  expect(() => painter.paint(0, new Uint8Array(7))).toThrow(/got 7/);
});
