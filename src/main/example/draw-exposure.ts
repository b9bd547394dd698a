import { AIRFRAME_REACH, drawAirframe } from "./draw-airframe.ts";
import { drawField, drawGroundShadow } from "./draw-field.ts";
import { drawFork, drawLauncher, drawRod, forkReach, ROD_MOUTH } from "./draw-launcher.ts";
import { type Canvas, makeCanvas } from "./draw-paint.ts";
import { drawPlumbLine, drawPosts, drawScaleBoard } from "./draw-references.ts";
import type { ExampleCamera } from "./example-camera.ts";
import { exampleMotion } from "./example-motion.ts";
import { bodyToWorld, type Pixel, rampToWorld, TRUE_CAMERA, worldToPixel } from "./example-scene.ts";

const INSTANTS_APART_PX = 0.5; // half the width of a pixel's own averaging: five instants at the fastest
const NEAR_SHAFT_M = 0.6; // shaft behind the fork that can lie below the airframe

/** What does not move, as a pinhole camera at rest sees it, on a canvas of the given size. */
export function drawStill(
  camera: ExampleCamera,
  posts: boolean,
  [left, top, width, height]: readonly [number, number, number, number],
): Canvas {
  const canvas = makeCanvas(left, top, width, height);
  const inPlane: Canvas = { ...canvas, view: camera.view };
  drawField(canvas);
  drawGroundShadow(inPlane, -0.9, 0.06, 0.6);
  drawGroundShadow(canvas, 0.42, 1.48, 0.35);
  if (posts) drawPosts(canvas);
  drawPlumbLine(inPlane);
  drawScaleBoard(canvas);
  drawLauncher(inPlane);
  return canvas;
}

/** s of clip time, from the first to the last instant at which something is exposed. */
type Span = readonly [from: number, to: number];

/** Something that moves: flat pixels around it at an instant, and how it is drawn then. */
interface Part {
  corners(timeS: number): readonly Pixel[];
  draw(canvas: Canvas, timeS: number): void;
}

/**
 * The box around everything that moves, drawn as the mean over the exposure of a frame. The shaft of the rod
 * slides along itself and looks the same at every instant, so only the parts around fork and airframe are
 * drawn for each instant: together while they overlap, and apart once the airframe is clear of the fork.
 * @returns a part of a picture as large as `still`, which it is drawn on
 */
export function drawExposure(still: Canvas, camera: ExampleCamera, frame: number): Canvas {
  const motion = exampleMotion();
  const view = camera.view ?? ((flat: Pixel) => flat);
  const airframe: Part = {
    corners: (t) => AIRFRAME_REACH.map((place) => view(worldToPixel(bodyToWorld(motion.pose(t), place)))),
    draw: (canvas, t) => drawAirframe(canvas, motion.pose(t)),
  };
  const fork: Part = {
    corners: (t) => forkReach(motion.rodTravel(t)).map((place) => view(worldToPixel(rampToWorld(place)))),
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
  const middle = camera.timeOf(frame);
  const span = spanOf(together, camera, middle);
  const whole = boxAround(
    [...together.corners(span[0]), ...together.corners(span[1]), view(worldToPixel(rampToWorld(ROD_MOUTH)))],
    still,
    camera,
  );
  copyFrom(still, whole);
  drawRod(whole, motion.rodTravel(span[0]));
  const tail = Math.min(...airframe.corners(span[0]).map(([x]) => x));
  const apart = tail > Math.max(...fork.corners(span[1]).map(([x]) => x)) + 10;
  for (const part of apart ? [fork, airframe] : [together]) {
    const mean = camera.readoutS === 0 ? meanOver : meanByRows;
    copyFrom(mean(spanOf(part, camera, middle), part, still, camera, middle), whole);
  }
  return whole;
}

/** The span in which the rows that a part lies on are exposed. */
function spanOf(part: Part, camera: ExampleCamera, middle: number): Span {
  const { exposureS } = TRUE_CAMERA;
  let [low, high] = [-Math.abs(camera.readoutS) / 2, Math.abs(camera.readoutS) / 2];
  // The rows narrow the span and the span narrows the rows; what is left over in three rounds is below a row.
  for (let round = 0; round < (camera.readoutS === 0 ? 0 : 3); round++) {
    const lags = [...part.corners(middle + low), ...part.corners(middle + high)].map((at) =>
      camera.lagOf(camera.seen(at, middle)[1]),
    );
    [low, high] = [Math.min(...lags), Math.max(...lags)];
  }
  return [middle + low - exposureS / 2, middle + high + exposureS / 2];
}

/**
 * A part on the still picture, as the mean over instants evenly spread over the exposure and
 * symmetric about its middle.
 */
function meanOver(span: Span, part: Part, still: Canvas, camera: ExampleCamera): Canvas {
  const { sum, instants } = emptyMean(span, part, still, camera);
  const [from, to] = span;
  const one = makeCanvas(sum.left, sum.top, sum.width, sum.height, camera.view);
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

/**
 * The same where each row has its own exposure: instants are spread over all of them, each standing for the
 * time around it, and count in a pixel by the share of its exposure that falls into that time.
 */
function meanByRows(span: Span, part: Part, still: Canvas, camera: ExampleCamera, middle: number): Canvas {
  const { sum, instants } = emptyMean(span, part, still, camera);
  const [from, to] = span;
  const { exposureS } = TRUE_CAMERA;
  const begins = exposureBegins(sum, camera, middle, [from, to - exposureS]);
  for (let k = 0; k < instants; k++) {
    const cell: Span = [from + (k / instants) * (to - from), from + ((k + 1) / instants) * (to - from)];
    const touched = begins.rows.map(([low, high]) => low < cell[1] && high + exposureS > cell[0]);
    const [first, last] = [touched.indexOf(true), touched.lastIndexOf(true)];
    if (first < 0) continue;
    const one = makeCanvas(sum.left, sum.top + first, sum.width, last + 1 - first, camera.view);
    copyFrom(still, one);
    part.draw(one, (cell[0] + cell[1]) / 2);
    for (let i = 0, j = first * sum.width; i < one.y.length; i++, j++) {
      const begin = begins.times[j];
      const share = (Math.min(cell[1], begin + exposureS) - Math.max(cell[0], begin)) / exposureS;
      if (share <= 0) continue;
      sum.y[j] = sum.y[j] + one.y[i] * share;
      sum.cb[j] = sum.cb[j] + one.cb[i] * share;
      sum.cr[j] = sum.cr[j] + one.cr[i] * share;
    }
  }
  return sum;
}

/**
 * When the exposure of each pixel of a box begins, kept within a span; and the
 * earliest and latest of each row.
 */
function exposureBegins(box: Canvas, camera: ExampleCamera, middle: number, [low, high]: Span) {
  const times = new Float64Array(box.width * box.height);
  const rows: Span[] = [];
  const beginAt = (x: number, y: number) => {
    const begin = middle + camera.lagOf(camera.seen([x, y], middle)[1]) - TRUE_CAMERA.exposureS / 2;
    return Math.min(high, Math.max(low, begin));
  };
  for (let row = 0; row < box.height; row++) {
    // Along a row the seen row changes by a few px in all, and evenly: straight between its ends is
    // good to 0.3 px, or 2 µs.
    const y = box.top + row + 0.5;
    const [first, last] = [beginAt(box.left, y), beginAt(box.left + box.width, y)];
    for (let column = 0, i = row * box.width; column < box.width; column++, i++) {
      times[i] = first + ((column + 0.5) / box.width) * (last - first);
    }
    rows.push([Math.min(first, last), Math.max(first, last)]);
  }
  return { times, rows };
}

/** An empty box for a mean over a span, and the number of instants that it takes. */
function emptyMean([from, to]: Span, part: Part, still: Canvas, camera: ExampleCamera) {
  const [before, after] = [part.corners(from), part.corners(to)];
  const movedPx = Math.max(...before.map(([x, y], i) => Math.hypot(after[i][0] - x, after[i][1] - y)));
  const instants = Math.max(1, Math.ceil(movedPx / INSTANTS_APART_PX));
  return { sum: boxAround([...before, ...after], still, camera), instants };
}

function addShare(part: Float32Array, share: number, sum: Float32Array): void {
  for (let i = 0; i < sum.length; i++) sum[i] = sum[i] + part[i] * share;
}

/** An empty canvas around pixels, with even borders and a margin, within a picture. */
function boxAround(corners: readonly Pixel[], picture: Canvas, camera: ExampleCamera): Canvas {
  const xs = corners.map((p) => p[0]);
  const ys = corners.map((p) => p[1]);
  const even = (low: number, from: number, size: number) =>
    Math.min(from + size, Math.max(from, 2 * Math.floor(low / 2)));
  const left = even(Math.min(...xs) - 2, picture.left, picture.width);
  const top = even(Math.min(...ys) - 2, picture.top, picture.height);
  const width = even(Math.max(...xs) + 4, picture.left, picture.width) - left;
  const height = even(Math.max(...ys) + 4, picture.top, picture.height) - top;
  return makeCanvas(left, top, width, height, camera.view);
}

/** Copies what two canvases share from the first to the second. */
export function copyFrom(source: Canvas, into: Canvas): void {
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
