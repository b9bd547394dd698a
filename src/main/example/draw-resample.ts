import { type Canvas, makeCanvas } from "./draw-paint.ts";
import type { ExampleCamera } from "./example-camera.ts";
import { PICTURE, type Pixel } from "./example-scene.ts";

const NODE_PX = 8; // between nodes the lens is taken as straight: off by less than 0.005 px at the corners
const COLUMNS = Math.ceil(PICTURE.width / NODE_PX) + 1;
const ROWS = Math.ceil(PICTURE.height / NODE_PX) + 1;

export interface Resampler {
  /** Sets the time of the frame that is seen, which decides the shake. */
  setTime(timeS: number): void;
  /**
   * Fills a plane of the seen picture from one of the pinhole camera's: each pixel takes its value from where
   * the inverse of `seen` says, between the four nearest samples. With a step of 2, every second pixel each
   * way: for colour, which is stored at half size.
   */
  resample(values: Float32Array, step: 1 | 2, into: Float32Array): void;
}

/**
 * What a lens and a shaking hand make of the picture of a pinhole camera at rest.
 * @param source the place and size of the pinhole camera's pictures, which reach beyond the seen one
 */
export function createResampler(
  camera: ExampleCamera,
  source: Pick<Canvas, "left" | "top" | "width" | "height">,
): Resampler {
  const unlensed: Pixel[] = Array.from({ length: COLUMNS * ROWS }, (_, i) =>
    camera.straightened([(i % COLUMNS) * NODE_PX, Math.floor(i / COLUMNS) * NODE_PX]),
  );
  const nodes = { x: new Float64Array(unlensed.length), y: new Float64Array(unlensed.length) };
  const line = { x: new Float64Array(COLUMNS), y: new Float64Array(COLUMNS) };
  return {
    setTime(timeS) {
      unlensed.forEach((place, i) => {
        const [x, y] = camera.steadied(place, timeS);
        // Counted in samples from the first one's centre, and kept inside.
        nodes.x[i] = Math.min(source.width - 2, Math.max(0, x - source.left - 0.5));
        nodes.y[i] = Math.min(source.height - 2, Math.max(0, y - source.top - 0.5));
      });
    },
    resample(values, step, into) {
      for (let row = 0; row < PICTURE.height / step; row++) {
        alongRow(nodes, step * (row + 0.5), line);
        sampleRow(values, source.width, line, step, into, (row * PICTURE.width) / step);
      }
    },
  };
}

/** Places in the source, one for each node or column of nodes. */
interface Places {
  readonly x: Float64Array;
  readonly y: Float64Array;
}

/** The nodes' places at a height in the seen picture, px. */
function alongRow(nodes: Places, y: number, line: Places): void {
  const node = Math.floor(y / NODE_PX);
  const down = y / NODE_PX - node;
  for (let column = 0, i = node * COLUMNS; column < COLUMNS; column++, i++) {
    line.x[column] = nodes.x[i] + down * (nodes.x[i + COLUMNS] - nodes.x[i]);
    line.y[column] = nodes.y[i] + down * (nodes.y[i + COLUMNS] - nodes.y[i]);
  }
}

/**
 * One row of the seen picture, from the four samples around each place; every `step`-th pixel,
 * the first half a step in.
 */
function sampleRow(
  values: Float32Array,
  width: number,
  line: Places,
  step: 1 | 2,
  out: Float32Array,
  from: number,
): void {
  let at = from;
  for (let cell = 0; cell < COLUMNS - 1; cell++) {
    const x0 = line.x[cell];
    const y0 = line.y[cell];
    const perX = (line.x[cell + 1] - x0) / NODE_PX;
    const perY = (line.y[cell + 1] - y0) / NODE_PX;
    for (let k = step / 2; k < NODE_PX; k += step) {
      const x = x0 + k * perX;
      const y = y0 + k * perY;
      const i = x | 0;
      const j = y | 0;
      const p = j * width + i;
      const upper = values[p] + (x - i) * (values[p + 1] - values[p]);
      const lower = values[p + width] + (x - i) * (values[p + width + 1] - values[p + width]);
      out[at++] = upper + (y - j) * (lower - upper);
    }
  }
}

/** The whole seen picture from that of the pinhole camera, at the time that was set. */
export function seenPicture(resampler: Resampler, source: Canvas): Canvas {
  const picture = makeCanvas(0, 0, PICTURE.width, PICTURE.height);
  for (const plane of ["y", "cb", "cr"] as const) resampler.resample(source[plane], 1, picture[plane]);
  return picture;
}
