import { AIRFRAME_REACH, drawAirframe } from "./draw-airframe.ts";
import { drawField, drawGroundShadow } from "./draw-field.ts";
import { drawFork, drawLauncher, drawRod, forkReach, ROD_MOUTH } from "./draw-launcher.ts";
import { type Canvas, makeCanvas } from "./draw-paint.ts";
import { drawPlumbLine, drawScaleBoard } from "./draw-references.ts";
import { exampleChance } from "./example-chance.ts";
import { exampleMotion } from "./example-motion.ts";
import { bodyToWorld, PICTURE, type Pixel, rampToWorld, TRUE_CAMERA, worldToPixel } from "./example-scene.ts";

const INSTANTS_APART_PX = 0.5; // half the width of a pixel's own averaging: five instants at the fastest
const NEAR_SHAFT_M = 0.6; // shaft behind the fork that can lie below the airframe
const NOISE_LEVELS = 2; // standard deviation of the sensor's noise, grey levels
const NOISE_LENGTH = 2 ** 20;

export interface FramePainter {
  readonly frames: number;
  /** Bytes of one frame: planes Y, Cb, Cr in turn, rows from the top, Cb and Cr at half size (yuv420p). */
  readonly bytes: number;
  /** Paints one frame with the noise of the sensor. @throws RangeError when the frame is not in the clip or `into` is too short */
  paint(frame: number, into: Uint8Array): void;
  /** The same frame without noise and before rounding. */
  clean(frame: number): Canvas;
}

/**
 * Draws the example clip frame by frame. What stands still is drawn once; each frame redraws the box around what moves,
 * as the mean of several instants of its exposure.
 * @param seed of the noise: the same seed gives the same clip
 */
export function createFramePainter(seed: number): FramePainter {
  const { width, height } = PICTURE;
  const still = drawStill();
  const noise = makeNoise(seed);
  const chance = exampleChance(seed, "rows");
  const offsets = Array.from({ length: TRUE_CAMERA.frames * height }, () =>
    Math.floor(chance.uniform() * (NOISE_LENGTH - width)),
  );
  const bytes = (width * height * 3) / 2;
  const luma = fixedPoint(still.y);
  const cb = halved(still.cb, width, height);
  const cr = halved(still.cr, width, height);

  return {
    frames: TRUE_CAMERA.frames,
    bytes,
    paint(frame, into) {
      checkFrame(frame);
      if (into.length < bytes) throw new RangeError(`paint: need ${bytes} bytes; got ${into.length}`);
      const box = drawExposure(still, frame);
      const boxLuma = fixedPoint(box.y);
      for (let row = 0; row < height; row++) {
        const grain = offsets[frame * height + row]!;
        const at = row * width;
        addNoise(luma, at, noise, grain, into, at, width);
        if (row < box.top || row >= box.top + box.height) continue;
        const boxAt = (row - box.top) * box.width;
        addNoise(boxLuma, boxAt, noise, grain + box.left, into, at + box.left, box.width);
      }
      const n = width * height;
      into.set(cb, n);
      into.set(cr, n + n / 4);
      const boxCb = halved(box.cb, box.width, box.height);
      const boxCr = halved(box.cr, box.width, box.height);
      for (let row = 0; row < box.height / 2; row++) {
        const at = n + ((box.top / 2 + row) * width) / 2 + box.left / 2;
        const part = [(row * box.width) / 2, ((row + 1) * box.width) / 2] as const;
        into.set(boxCb.subarray(...part), at);
        into.set(boxCr.subarray(...part), at + n / 4);
      }
    },
    clean(frame) {
      checkFrame(frame);
      const box = drawExposure(still, frame);
      const whole = { ...still, y: still.y.slice(), cb: still.cb.slice(), cr: still.cr.slice() };
      for (let row = 0; row < box.height; row++) {
        const part = [row * box.width, (row + 1) * box.width] as const;
        const at = (box.top + row) * width + box.left;
        whole.y.set(box.y.subarray(...part), at);
        whole.cb.set(box.cb.subarray(...part), at);
        whole.cr.set(box.cr.subarray(...part), at);
      }
      return whole;
    },
  };
}

/** Luma in steps of 1/64, so that adding noise to two million pixels a frame stays in whole numbers. */
function fixedPoint(plane: Float32Array): Int16Array {
  const steps = new Int16Array(plane.length);
  for (let i = 0; i < plane.length; i++) steps[i] = plane[i]! * 64;
  return steps;
}

/** Rounds luma plus noise to bytes; luma lies in 16 to 235 and the noise within seven standard deviations: no overflow. */
function addNoise(
  luma: Int16Array,
  lumaAt: number,
  noise: Int16Array,
  noiseAt: number,
  into: Uint8Array,
  at: number,
  length: number,
): void {
  for (let i = 0; i < length; i++) into[at + i] = (luma[lumaAt + i]! + noise[noiseAt + i]! + 32) >> 6;
}

function checkFrame(frame: number): void {
  if (!Number.isInteger(frame) || frame < 0 || frame >= TRUE_CAMERA.frames) {
    throw new RangeError(`need a frame from 0 to ${TRUE_CAMERA.frames - 1}; got ${frame}`);
  }
}

function drawStill(): Canvas {
  const canvas = makeCanvas(0, 0, PICTURE.width, PICTURE.height);
  drawField(canvas);
  drawGroundShadow(canvas, -0.9, 0.06, 0.6);
  drawGroundShadow(canvas, 0.42, 1.48, 0.35);
  drawPlumbLine(canvas);
  drawScaleBoard(canvas);
  drawLauncher(canvas);
  return canvas;
}

/** Something that moves: pixels around it at an instant, and how it is drawn then. */
interface Part {
  corners(timeS: number): readonly Pixel[];
  draw(canvas: Canvas, timeS: number): void;
}

/**
 * The box around everything that moves, drawn as the mean over the exposure of a frame. The shaft of the rod slides along
 * itself and looks the same at every instant, so only the parts around fork and airframe are drawn for each instant:
 * together while they overlap, and apart once the airframe is clear of the fork.
 */
function drawExposure(still: Canvas, frame: number): Canvas {
  const motion = exampleMotion();
  const middle = frame / TRUE_CAMERA.captureRateHz;
  const exposure = [middle - TRUE_CAMERA.exposureS / 2, middle + TRUE_CAMERA.exposureS / 2] as const;
  const airframe: Part = {
    corners: (t) => AIRFRAME_REACH.map((place) => worldToPixel(bodyToWorld(motion.pose(t), place))),
    draw: (canvas, t) => drawAirframe(canvas, motion.pose(t)),
  };
  const fork: Part = {
    corners: (t) => forkReach(motion.rodTravel(t)).map((place) => worldToPixel(rampToWorld(place))),
    draw(canvas, t) {
      drawRod(canvas, motion.rodTravel(t), NEAR_SHAFT_M);
      drawFork(canvas, motion.rodTravel(t));
    },
  };
  const together: Part = {
    corners: (t) => [...airframe.corners(t), ...fork.corners(t)],
    draw(canvas, t) {
      drawRod(canvas, motion.rodTravel(t), NEAR_SHAFT_M);
      drawFork(canvas, motion.rodTravel(t));
      drawAirframe(canvas, motion.pose(t));
    },
  };
  const [from, to] = exposure;
  const whole = boxAround([
    ...together.corners(from),
    ...together.corners(to),
    worldToPixel(rampToWorld(ROD_MOUTH)),
  ]);
  copyFrom(still, whole);
  drawRod(whole, motion.rodTravel(from));
  const tail = Math.min(...airframe.corners(from).map(([x]) => x));
  const apart = tail > Math.max(...fork.corners(to).map(([x]) => x)) + 10;
  for (const part of apart ? [fork, airframe] : [together]) copyFrom(meanOver(exposure, part, still), whole);
  return whole;
}

/** A part on the still picture, as the mean over instants evenly spread over the exposure and symmetric about its middle. */
function meanOver([from, to]: readonly [number, number], part: Part, still: Canvas): Canvas {
  const [before, after] = [part.corners(from), part.corners(to)];
  const movedPx = Math.max(...before.map(([x, y], i) => Math.hypot(after[i]![0] - x, after[i]![1] - y)));
  const instants = Math.max(1, Math.ceil(movedPx / INSTANTS_APART_PX));
  const sum = boxAround([...before, ...after]);
  const one = makeCanvas(sum.left, sum.top, sum.width, sum.height);
  for (let k = 0; k < instants; k++) {
    copyFrom(still, one);
    part.draw(one, from + ((k + 0.5) / instants) * (to - from));
    if (instants === 1) return one;
    addShare(one.y, 1 / instants, sum.y);
    addShare(one.cb, 1 / instants, sum.cb);
    addShare(one.cr, 1 / instants, sum.cr);
  }
  return sum;
}

function addShare(part: Float32Array, share: number, sum: Float32Array): void {
  for (let i = 0; i < sum.length; i++) sum[i] = sum[i]! + part[i]! * share;
}

/** An empty canvas around pixels, with even borders and a margin, within the picture. */
function boxAround(corners: readonly Pixel[]): Canvas {
  const xs = corners.map((p) => p[0]);
  const ys = corners.map((p) => p[1]);
  const even = (low: number, limit: number) => Math.min(limit, Math.max(0, 2 * Math.floor(low / 2)));
  const left = even(Math.min(...xs) - 2, PICTURE.width);
  const top = even(Math.min(...ys) - 2, PICTURE.height);
  const width = even(Math.max(...xs) + 4, PICTURE.width) - left;
  return makeCanvas(left, top, width, even(Math.max(...ys) + 4, PICTURE.height) - top);
}

/** Copies what two canvases share from the first to the second. */
function copyFrom(source: Canvas, into: Canvas): void {
  const left = Math.max(source.left, into.left);
  const width = Math.min(source.left + source.width, into.left + into.width) - left;
  const top = Math.max(source.top, into.top);
  const bottom = Math.min(source.top + source.height, into.top + into.height);
  for (let row = top; row < bottom; row++) {
    const from = (row - source.top) * source.width + left - source.left;
    const to = (row - into.top) * into.width + left - into.left;
    for (const plane of ["y", "cb", "cr"] as const) {
      into[plane].set(source[plane].subarray(from, from + width), to);
    }
  }
}

/** Mean of each square of four, rounded: how colour is stored at half size. */
function halved(plane: Float32Array, width: number, height: number): Uint8Array {
  const half = new Uint8Array((width * height) / 4);
  for (let row = 0, i = 0; row < height; row += 2) {
    for (let x = 0, j = row * width; x < width; x += 2, i++, j += 2) {
      half[i] = (plane[j]! + plane[j + 1]! + plane[j + width]! + plane[j + width + 1]!) / 4 + 0.5;
    }
  }
  return half;
}

function makeNoise(seed: number): Int16Array {
  const chance = exampleChance(seed, "noise");
  return Int16Array.from({ length: NOISE_LENGTH }, () => Math.round(64 * NOISE_LEVELS * chance.normal()));
}
