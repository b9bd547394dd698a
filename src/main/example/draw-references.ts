import { GROUND_M } from "./draw-field.ts";
import { type Canvas, colour, fill } from "./draw-paint.ts";
import { bar, circle } from "./draw-shape.ts";
import { drawTarget } from "./draw-target.ts";
import {
  TRUE_CAMERA,
  TRUE_PLUMB,
  TRUE_POSTS,
  TRUE_SCALE_ROD,
  type World,
  worldToPixel,
} from "./example-scene.ts";

const BOARD = [colour("#f7f4ea"), colour("#dedacb")];
const BAND = [colour("#2f4a68"), colour("#1e3247")];
const STAKE = [colour("#8a7354"), colour("#5f4d36")];
const MAST = [colour("#dcdedd"), colour("#a5aaac"), colour("#6c7275")];
const CORD = colour("#1c2024");
const BEAD = colour("#d9731f");
const BRASS = [colour("#e6cf8e"), colour("#b08f45"), colour("#6d5625")];

const SCALE_MARK_RADIUS_M = 0.021;

const px = (metres: number) => metres / TRUE_CAMERA.metresPerPx;

/**
 * The scale board: bands of a tenth of the rod's length and a target at each end, whose middles
 * are one rod length apart.
 */
export function drawScaleBoard(canvas: Canvas): void {
  const { a, b } = TRUE_SCALE_ROD;
  const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
  const [ux, uy] = [(b[0] - a[0]) / length, (b[1] - a[1]) / length];
  const at = (along: number, up: number) =>
    worldToPixel([a[0] + ux * along - uy * up, a[1] + uy * along + ux * up]);
  const half = 0.034;
  for (const along of [0.16, length - 0.16]) {
    const [x] = [a[0] + ux * along];
    fill(canvas, bar(at(along, 0.01), worldToPixel([x, GROUND_M - 0.004]), px(0.024)), {
      from: at(along - 0.012, 0),
      to: at(along + 0.012, 0),
      colours: STAKE,
    });
  }
  const box = (from: number, to: number, low: number, high: number) => [
    at(from, high),
    at(to, high),
    at(to, low),
    at(from, low),
  ];
  const light = (colours: typeof BOARD) => ({ from: at(0, half), to: at(0, -half), colours });
  fill(canvas, box(-0.046, length + 0.046, -half - 0.0025, half + 0.0025), colour("#3b3f42"));
  fill(canvas, box(-0.044, length + 0.044, -half, half), light(BOARD));
  for (let k = 0; k < 10; k++) {
    const [from, to] = [
      Math.max(0.036, (k * length) / 10),
      Math.min(length - 0.036, ((k + 1) * length) / 10),
    ];
    const upper = k % 2 === 0;
    fill(canvas, box(from, to, upper ? 0 : -half, upper ? half : 0), light(BAND));
  }
  drawTarget(canvas, at(0, 0), SCALE_MARK_RADIUS_M, Math.atan2(uy, ux) - TRUE_CAMERA.rollRad);
  drawTarget(canvas, at(length, 0), SCALE_MARK_RADIUS_M, Math.atan2(uy, ux) - TRUE_CAMERA.rollRad);
}

/** A mast with an arm, and the plumb line hanging from it with a bead near each end and a brass bob. */
export function drawPlumbLine(canvas: Canvas): void {
  const { top, bottom } = TRUE_PLUMB;
  const mast = top[0] - 0.13;
  const arm = top[1] + 0.035;
  const shade = (x: number, half: number) => ({
    from: worldToPixel([x - half, arm]),
    to: worldToPixel([x + half, arm]),
    colours: MAST,
  });
  fill(
    canvas,
    bar(worldToPixel([mast, GROUND_M - 0.003]), worldToPixel([mast, arm + 0.02]), px(0.022), px(0.018)),
    shade(mast, 0.011),
  );
  fill(canvas, bar(worldToPixel([mast - 0.02, arm]), worldToPixel([top[0] + 0.025, arm]), px(0.014)), {
    from: worldToPixel([mast, arm + 0.007]),
    to: worldToPixel([mast, arm - 0.007]),
    colours: MAST,
  });
  const bob = bottom[1] - 0.022;
  fill(canvas, bar(worldToPixel([top[0], arm]), worldToPixel([bottom[0], bob]), 1.5), CORD);
  for (const bead of [top, bottom]) {
    fill(canvas, circle(worldToPixel(bead), px(0.0085)), CORD);
    fill(canvas, circle(worldToPixel(bead), px(0.0067)), BEAD);
  }
  const outline: readonly World[] = [
    [-0.006, 0],
    [0.006, 0],
    [0.013, -0.014],
    [0.013, -0.03],
    [0, -0.075],
    [-0.013, -0.03],
    [-0.013, -0.014],
  ];
  fill(
    canvas,
    outline.map(([x, y]) => worldToPixel([bottom[0] + x, bob + y])),
    {
      from: worldToPixel([bottom[0] - 0.013, bob]),
      to: worldToPixel([bottom[0] + 0.013, bob]),
      colours: BRASS,
    },
  );
}

const POST_TARGET_RADIUS_M = 0.024;

/** Fence posts with a target near the top of each: what does not move in a shaken picture. */
export function drawPosts(canvas: Canvas): void {
  for (const [x, y] of Object.values(TRUE_POSTS)) {
    const half = 0.032;
    fill(canvas, bar(worldToPixel([x, GROUND_M - 0.004]), worldToPixel([x, y + 0.045]), px(2 * half)), {
      from: worldToPixel([x - half, y]),
      to: worldToPixel([x + half, y]),
      colours: STAKE,
    });
    drawTarget(canvas, worldToPixel([x, y]), POST_TARGET_RADIUS_M, -TRUE_CAMERA.rollRad);
  }
}
