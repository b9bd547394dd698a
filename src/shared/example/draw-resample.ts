import { type Canvas, makeCanvas } from "./draw-paint.ts";
import type { ExampleCamera } from "./example-camera.ts";
import { PICTURE, type Pixel } from "./example-scene.ts";

const NODE_PX = 8; // between nodes the lens is taken as straight: off by less than 0.005 px at the corners
const PHASES = 256;

/** A plane of samples whose first centre lies half a step from the top left corner of its picture. */
export interface Plane {
  readonly width: number;
  readonly height: number;
  readonly values: Float32Array;
}

export interface Resampler {
  /**
   * Fills a plane of the seen picture from one of the pinhole camera's, both at a step of 1 or 2 px.
   * @param timeS of the frame, which decides the shake
   */
  resample(source: Plane, timeS: number, stepPx: 1 | 2): Float32Array;
}

/**
 * What a lens and a shaking hand make of the picture of a pinhole camera at rest: each pixel of the seen picture takes its value from
 * where the inverse of `seen` says, by the cubic through four samples each way (Catmull and Rom, 1974), which keeps places.
 * @param left,top px, corner of the source pictures, which reach beyond the seen one
 */
export function createResampler(camera: ExampleCamera, left: number, top: number): Resampler {
  const columns = Math.ceil(PICTURE.width / NODE_PX) + 1;
  const rows = Math.ceil(PICTURE.height / NODE_PX) + 1;
  const unlensed: Pixel[] = Array.from({ length: columns * rows }, (_, i) =>
    camera.straightened([(i % columns) * NODE_PX, Math.floor(i / columns) * NODE_PX]),
  );
  const weights = cubicWeights();
  return {
    resample(source, timeS, stepPx) {
      const [xs, ys] = [new Float64Array(unlensed.length), new Float64Array(unlensed.length)];
      unlensed.forEach((place, i) => {
        const [x, y] = camera.steadied(place, timeS);
        xs[i] = (x - left) / stepPx - 0.5;
        ys[i] = (y - top) / stepPx - 0.5;
      });
      const [width, height] = [PICTURE.width / stepPx, PICTURE.height / stepPx];
      const perNode = NODE_PX / stepPx;
      const out = new Float32Array(width * height);
      for (let row = 0; row < height; row++) {
        const place = (row + 0.5) / perNode;
        const node = Math.floor(place);
        const down = place - node;
        for (let cell = 0; cell < columns - 1; cell++) {
          const i = node * columns + cell;
          const between = (of: Float64Array, at: number) => of[at]! + down * (of[at + columns]! - of[at]!);
          const [x0, y0] = [between(xs, i), between(ys, i)];
          const [perX, perY] = [(between(xs, i + 1) - x0) / perNode, (between(ys, i + 1) - y0) / perNode];
          const at = row * width + cell * perNode;
          for (let k = 0; k < perNode; k++) {
            out[at + k] = sample(source, weights, x0 + (k + 0.5) * perX, y0 + (k + 0.5) * perY);
          }
        }
      }
      return out;
    },
  };
}

/** The source at a place counted in samples, by the cubic; places beyond it take the nearest that can be had. */
function sample({ width, height, values }: Plane, weights: Float64Array, x: number, y: number): number {
  const inX = Math.min(width - 3.001, Math.max(1, x));
  const inY = Math.min(height - 3.001, Math.max(1, y));
  const [i, j] = [Math.floor(inX), Math.floor(inY)];
  const wx = 4 * Math.round((inX - i) * PHASES);
  const wy = 4 * Math.round((inY - j) * PHASES);
  const [a, b, c, d] = [weights[wx]!, weights[wx + 1]!, weights[wx + 2]!, weights[wx + 3]!];
  let at = (j - 1) * width + i - 1;
  let sum = 0;
  for (let k = 0; k < 4; k++, at += width) {
    sum +=
      weights[wy + k]! *
      (a * values[at]! + b * values[at + 1]! + c * values[at + 2]! + d * values[at + 3]!);
  }
  return sum;
}

/** Weights of the four samples around a place, for PHASES + 1 places between the middle two. */
function cubicWeights(): Float64Array {
  const weights = new Float64Array(4 * (PHASES + 1));
  for (let p = 0; p <= PHASES; p++) {
    const t = p / PHASES;
    weights.set(
      [
        (t * (t * (2 - t) - 1)) / 2,
        (t * t * (3 * t - 5) + 2) / 2,
        (t * (t * (4 - 3 * t) + 1)) / 2,
        (t * t * (t - 1)) / 2,
      ],
      4 * p,
    );
  }
  return weights;
}

/** The whole seen picture from that of the pinhole camera. */
export function seenPicture(resampler: Resampler, source: Canvas, timeS: number): Canvas {
  const plane = (values: Float32Array): Plane => ({ width: source.width, height: source.height, values });
  const [y, cb, cr] = [source.y, source.cb, source.cr].map((values) =>
    resampler.resample(plane(values), timeS, 1),
  ) as [Float32Array, Float32Array, Float32Array];
  return { ...makeCanvas(0, 0, 0, 0), width: PICTURE.width, height: PICTURE.height, y, cb, cr };
}
