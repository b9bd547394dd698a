import { copyFrom, drawExposure, drawStill } from "./draw-exposure.ts";
import type { Canvas } from "./draw-paint.ts";
import { createResampler, seenPicture } from "./draw-resample.ts";
import { type ExampleCamera, exampleCamera } from "./example-camera.ts";
import { exampleChance } from "./example-chance.ts";
import { PICTURE } from "./example-scene.ts";
import { type ExampleVariant, hasFault } from "./example-variant.ts";

const NOISE_LEVELS = 2; // standard deviation of the sensor's noise, grey levels
const NOISE_LENGTH = 2 ** 20;
const MARGIN_PX = 112; // around the picture, for what the lens pulls in and the hand swings in
const PAN_MARGIN_PX = 400; // for what a pan swings in

export interface FramePainter {
  readonly frames: number;
  /** Bytes of one frame: planes Y, Cb, Cr in turn, rows from the top, Cb and Cr at half size (yuv420p). */
  readonly bytes: number;
  /**
   * Paints one frame with the noise of the sensor.
   * @throws RangeError when the frame is not in the clip or `into` is too short
   */
  paint(frame: number, into: Uint8Array): void;
  /** The same frame without noise and before rounding. */
  clean(frame: number): Canvas;
}

/** Paints one picture, the frame's own: repeats are taken care of before. */
interface PicturePainter {
  /** @param grains [height], where each row's noise begins in `noise` */
  paint(frame: number, noise: Int16Array, grains: readonly number[], into: Uint8Array): void;
  clean(frame: number): Canvas;
}

/**
 * Draws the example clip frame by frame. What does not move is drawn once; each frame redraws the box around
 * what moves, as the mean of several instants of its exposure. Through a lens or a shaking hand the whole
 * picture is then drawn again.
 * @param seed of the noise: the same seed gives the same clip
 */
export function createFramePainter(seed: number, variant: ExampleVariant = "plain"): FramePainter {
  const { width, height } = PICTURE;
  const camera = exampleCamera(variant);
  const picture = camera.bends
    ? bentPictures(camera, hasFault(variant, "shake"), hasFault(variant, "pan") ? PAN_MARGIN_PX : MARGIN_PX)
    : flatPictures(camera);
  const noise = makeNoise(seed);
  const chance = exampleChance(seed, "rows");
  const offsets = Array.from({ length: camera.frames * height }, () =>
    Math.floor(chance.uniform() * (NOISE_LENGTH - width)),
  );
  const bytes = (width * height * 3) / 2;
  const shownBy = (frame: number) => {
    if (!Number.isInteger(frame) || frame < 0 || frame >= camera.frames) {
      throw new RangeError(`need a frame from 0 to ${camera.frames - 1}; got ${frame}`);
    }
    return camera.shows(frame);
  };
  const kept = { frame: -1, bytes: new Uint8Array(camera.repeated.length > 0 ? bytes : 0) };
  return {
    frames: camera.frames,
    bytes,
    paint(frame, into) {
      const shown = shownBy(frame);
      if (into.length < bytes) throw new RangeError(`paint: need ${bytes} bytes; got ${into.length}`);
      if (kept.frame === shown) {
        into.set(kept.bytes);
        return;
      }
      picture.paint(shown, noise, offsets.slice(shown * height, (shown + 1) * height), into);
      if (!camera.repeated.includes(shown + 1)) return;
      kept.frame = shown;
      kept.bytes.set(into.subarray(0, bytes));
    },
    clean: (frame) => picture.clean(shownBy(frame)),
  };
}

/** Pictures in which only the box around what moves changes. */
function flatPictures(camera: ExampleCamera): PicturePainter {
  const { width, height } = PICTURE;
  const still = drawStill(camera, false, [0, 0, width, height]);
  const luma = fixedPoint(still.y);
  const cb = halved(still.cb, width, height);
  const cr = halved(still.cr, width, height);
  return {
    paint(frame, noise, grains, into) {
      const box = drawExposure(still, camera, frame);
      const boxLuma = fixedPoint(box.y);
      for (let row = 0; row < height; row++) {
        const grain = grains[row];
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
      const whole = { ...still, y: still.y.slice(), cb: still.cb.slice(), cr: still.cr.slice() };
      copyFrom(drawExposure(still, camera, frame), whole);
      return whole;
    },
  };
}

/**
 * Pictures seen through a lens or from a shaking hand: all of each is drawn again from a pinhole
 * camera's picture with a margin.
 */
function bentPictures(camera: ExampleCamera, posts: boolean, margin: number): PicturePainter {
  const { width, height } = PICTURE;
  const still = drawStill(camera, posts, [-margin, -margin, width + 2 * margin, height + 2 * margin]);
  const resampler = createResampler(camera, still);
  const live = { ...still, y: still.y.slice(), cb: still.cb.slice(), cr: still.cr.slice() };
  /** Does something with the picture of a frame, which is the still one again afterwards. */
  const withFrame = <T>(frame: number, use: () => T): T => {
    const box = drawExposure(still, camera, frame);
    copyFrom(box, live);
    resampler.setTime(camera.timeOf(frame));
    const result = use();
    copyFrom(still, box);
    copyFrom(box, live);
    return result;
  };
  const fine = new Float32Array(width * height);
  const coarse = new Float32Array((width * height) / 4);
  const luma = new Int16Array(width * height);
  return {
    paint: (frame, noise, grains, into) =>
      withFrame(frame, () => {
        resampler.resample(live.y, 1, fine);
        toSteps(fine, luma);
        for (let row = 0; row < height; row++) {
          addNoise(luma, row * width, noise, grains[row], into, row * width, width);
        }
        [live.cb, live.cr].forEach((plane, i) => {
          resampler.resample(plane, 2, coarse);
          const at = width * height * (1 + i / 4);
          toBytes(coarse, into.subarray(at, at + coarse.length));
        });
      }),
    clean: (frame) => withFrame(frame, () => seenPicture(resampler, live)),
  };
}

/** Luma in steps of 1/64, so that adding noise to two million pixels a frame stays in whole numbers. */
function fixedPoint(plane: Float32Array): Int16Array {
  const steps = new Int16Array(plane.length);
  toSteps(plane, steps);
  return steps;
}

function toSteps(plane: Float32Array, steps: Int16Array): void {
  for (let i = 0; i < plane.length; i++) steps[i] = plane[i] * 64;
}

function toBytes(plane: Float32Array, bytes: Uint8Array): void {
  for (let i = 0; i < plane.length; i++) bytes[i] = plane[i] + 0.5;
}

/**
 * Rounds luma plus noise to bytes; luma lies in 16 to 235 and the noise within seven standard
 * deviations: no overflow.
 */
function addNoise(
  luma: Int16Array,
  lumaAt: number,
  noise: Int16Array,
  noiseAt: number,
  into: Uint8Array,
  at: number,
  length: number,
): void {
  for (let i = 0; i < length; i++) into[at + i] = (luma[lumaAt + i] + noise[noiseAt + i] + 32) >> 6;
}

/** Mean of each square of four, rounded: how colour is stored at half size. */
function halved(plane: Float32Array, width: number, height: number): Uint8Array {
  const half = new Uint8Array((width * height) / 4);
  for (let row = 0, i = 0; row < height; row += 2) {
    for (let x = 0, j = row * width; x < width; x += 2, i++, j += 2) {
      half[i] = (plane[j] + plane[j + 1] + plane[j + width] + plane[j + width + 1]) / 4 + 0.5;
    }
  }
  return half;
}

function makeNoise(seed: number): Int16Array {
  const chance = exampleChance(seed, "noise");
  return Int16Array.from({ length: NOISE_LENGTH }, () => Math.round(64 * NOISE_LEVELS * chance.normal()));
}
