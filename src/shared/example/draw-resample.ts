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
        // Kept two samples inside, so that four can be had each way.
        xs[i] = Math.min(source.width - 3, Math.max(2, (x - left) / stepPx - 0.5));
        ys[i] = Math.min(source.height - 3, Math.max(2, (y - top) / stepPx - 0.5));
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
          const x0 = between(xs, i, columns, down);
          const y0 = between(ys, i, columns, down);
          const perX = (between(xs, i + 1, columns, down) - x0) / perNode;
          const perY = (between(ys, i + 1, columns, down) - y0) / perNode;
          sampleRun(
            source,
            weights,
            [x0 + perX / 2, y0 + perY / 2, perX, perY],
            perNode,
            out,
            row * width + cell * perNode,
          );
        }
      }
      return out;
    },
  };
}

function between(values: Float64Array, at: number, columns: number, down: number): number {
  return values[at]! + down * (values[at + columns]! - values[at]!);
}

/** The source by the cubic at `count` places in a straight run, counted in samples; all lie inside by two samples or more. */
function sampleRun(
  { width, values }: Plane,
  weights: Float32Array,
  [x0, y0, perX, perY]: readonly [number, number, number, number],
  count: number,
  out: Float32Array,
  at: number,
): void {
  for (let k = 0; k < count; k++) {
    const x = x0 + k * perX;
    const y = y0 + k * perY;
    const i = x | 0;
    const j = y | 0;
    const wx = (((x - i) * PHASES + 0.5) | 0) << 2;
    const wy = (((y - j) * PHASES + 0.5) | 0) << 2;
    const a = weights[wx]!;
    const b = weights[wx + 1]!;
    const c = weights[wx + 2]!;
    const d = weights[wx + 3]!;
    const p = (j - 1) * width + i - 1;
    const q = p + width;
    const r = q + width;
    const s = r + width;
    out[at + k] =
      weights[wy]! * (a * values[p]! + b * values[p + 1]! + c * values[p + 2]! + d * values[p + 3]!) +
      weights[wy + 1]! * (a * values[q]! + b * values[q + 1]! + c * values[q + 2]! + d * values[q + 3]!) +
      weights[wy + 2]! * (a * values[r]! + b * values[r + 1]! + c * values[r + 2]! + d * values[r + 3]!) +
      weights[wy + 3]! * (a * values[s]! + b * values[s + 1]! + c * values[s + 2]! + d * values[s + 3]!);
  }
}

/** Weights of the four samples around a place, for PHASES + 1 places between the middle two. */
function cubicWeights(): Float32Array {
  const weights = new Float32Array(4 * (PHASES + 1));
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
