import type { GreyImage } from "../follow/grey-image.ts";

/** Frames of a clip, both inclusive. */
export interface FrameRun {
  readonly first: number;
  readonly last: number;
}

const LEAST_LEVEL = 8; // grey levels: below it are the coder's changes of a picture in which nothing moves
const OVER_REST = 3; // times what the picture changes by at rest
const REST_SHARE = 0.2; // of the frames: even a clip that is cut close has as many of them at rest
const GAP = 6; // frames in which nothing seems to move within one launch: repeated frames, a still moment
const LEAST_FRAMES = 3; // a flash or a change of exposure is over sooner

/**
 * The stretch in which most moves, by how much each frame differs from the one before.
 * @param levels grey levels 0 to 255, [n], null where that is not known
 * @returns null where nothing stands out: all is still, or the camera moves throughout
 */
export function launchIn(levels: readonly (number | null)[]): FrameRun | null {
  const known = levels.filter((level) => level !== null).sort((a, b) => a - b);
  const rest = known[Math.floor(REST_SHARE * known.length)] ?? 0;
  const over = Math.max(LEAST_LEVEL, OVER_REST * rest);
  let [best, most]: [FrameRun | null, number] = [null, 0];
  let run: { first: number; last: number; sum: number } | null = null;
  levels.forEach((level, frame) => {
    if (level === null || level < over) return;
    if (run === null || frame - run.last > GAP) run = { first: frame, last: frame, sum: 0 };
    run.last = frame;
    run.sum += level;
    if (run.sum > most && run.last - run.first + 1 >= LEAST_FRAMES) {
      [best, most] = [{ first: run.first, last: run.last }, run.sum];
    }
  });
  return best;
}

const TILE = 8; // px: noise averages out, and an edge that moves by 0.3 px still shows
const AT_REST = 8; // pictures at the beginning that are taken to show rest
const OVER_NOISE = 1.5;
const LEAST_CHANGE = 2; // grey levels of a tile

/** Mean grey level of each square of 8 by 8 px, row by row; what is left over at the edges is left out. */
export function tileMeans({ width, height, data }: GreyImage): Float32Array {
  const [columns, rows] = [Math.floor(width / TILE), Math.floor(height / TILE)];
  const means = new Float32Array(columns * rows);
  for (let y = 0; y < rows * TILE; y++) {
    const row = Math.floor(y / TILE) * columns;
    for (let x = 0; x < columns * TILE; x++) {
      const at = row + Math.floor(x / TILE);
      means[at] = (means[at] as number) + (data[y * width + x] as number) / TILE ** 2;
    }
  }
  return means;
}

/**
 * The first of some pictures in a row that differs from those at rest before it, as all after it do; by the
 * means of their tiles.
 * @param pictures the first few of them at rest, a launch begun in the last
 * @returns its place in the list; null where none does
 */
export function firstMoved(pictures: readonly Float32Array[]): number | null {
  const atRest = pictures.slice(0, Math.min(AT_REST, Math.max(1, Math.floor(pictures.length / 2))));
  const [one] = atRest;
  if (one === undefined) return null;
  const rest = one.map((_, i) => atRest.reduce((sum, all) => sum + (all[i] as number), 0) / atRest.length);
  const changes = pictures.map((all) =>
    all.reduce((most, mean, i) => Math.max(most, Math.abs(mean - (rest[i] as number))), 0),
  );
  const noise = Math.max(...changes.slice(0, atRest.length));
  const over = Math.max(LEAST_CHANGE, OVER_NOISE * noise);
  const lastStill = changes.findLastIndex((change) => change < over);
  return lastStill + 1 < pictures.length ? lastStill + 1 : null;
}
