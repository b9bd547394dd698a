import { type Canvas, type Colour, colour, fill, mixed } from "./draw-paint.ts";
import { circle } from "./draw-shape.ts";
import { latticeChance, layeredNoise, smoothNoise } from "./draw-texture.ts";
import { TRUE_CAMERA, worldToPixel } from "./example-scene.ts";

/** m, height in the flight plane at which the horizon appears. */
const HORIZON_M = -0.13;
/** m, where the launcher stands on the grass. */
export const GROUND_M = -0.605;

const SKY_TOP = colour("#6d9cc9");
const SKY_LOW = colour("#d3e0e6");
const CLOUD = colour("#f3f3ef");
const HILL_FAR = colour("#93a7b0");
const HILL_NEAR = colour("#718c78");
const TREE_LIT = colour("#5d7a45");
const TREE_DARK = colour("#324a33");
const GRASS_FAR = colour("#a3b06c");
const GRASS_NEAR = colour("#63853f");
const GRASS_DEEP = colour("#47692f");
const BLADE_LIT = colour("#a9bf67");

/** Sky, hills, trees and grass over the whole canvas: everything behind and below the launch. */
export function drawField(canvas: Canvas): void {
  const [, horizonAtLeft] = worldToPixel([-685.3 * TRUE_CAMERA.metresPerPx, HORIZON_M]);
  const lean = Math.tan(TRUE_CAMERA.rollRad);
  for (let column = 0; column < canvas.width; column++) {
    const x = canvas.left + column + 0.5;
    const horizon = horizonAtLeft + lean * x;
    const far = 26 + 52 * (layeredNoise(x / 420 + 3, 1.5, 3) - 0.25);
    const near = 10 + 46 * (layeredNoise(x / 260 + 40, 7.5, 4) - 0.3);
    const trees = treeHeight(x);
    for (let row = 0; row < canvas.height; row++) {
      const y = canvas.top + row + 0.5;
      const above = horizon - y;
      const i = row * canvas.width + column;
      let shade = above > 0 ? sky(x, y, above, horizon) : grass(x, -above);
      if (above > -3) {
        shade = mixed(shade, HILL_FAR, edge(far - above, 1.5) * 0.85);
        shade = mixed(shade, HILL_NEAR, edge(near - above, 1.5) * 0.9);
        const inTrees = edge(trees - above, 2.2) * edge(above + 2, 2);
        if (inTrees > 0) shade = mixed(shade, foliage(x, above, trees), inTrees);
      }
      canvas.y[i] = shade[0];
      canvas.cb[i] = shade[1];
      canvas.cr[i] = shade[2];
    }
  }
  drawBlades(canvas);
}

/** 0 to 1 over a soft border of the given half width in px: the far things are out of focus. */
function edge(inside: number, soft: number): number {
  const w = Math.min(1, Math.max(0, 0.5 + inside / (2 * soft)));
  return w * w * (3 - 2 * w);
}

function sky(x: number, y: number, above: number, horizon: number): Colour {
  const height = above / horizon;
  const clear = mixed(SKY_LOW, SKY_TOP, height ** 0.75);
  const drift = layeredNoise(x / 210 + 5, y / 62 + 0.18 * smoothNoise(x / 300, 4) * 10, 5);
  const cloud = Math.max(0, drift - 0.5) * 2.6 * Math.min(1, height * 3);
  return mixed(clear, CLOUD, Math.min(0.75, cloud));
}

function treeHeight(x: number): number {
  const stand = layeredNoise(x / 190 + 11, 2.5, 2);
  const crowns = layeredNoise(x / 34, 5.5, 3);
  return 9 + 34 * Math.max(0, stand - 0.33) * 2 + 15 * crowns * Math.min(1, stand * 1.6);
}

function foliage(x: number, above: number, height: number): Colour {
  const light = 0.25 + 0.5 * (above / height) + 0.8 * (layeredNoise(x / 9, above / 8, 3) - 0.5);
  return mixed(TREE_DARK, TREE_LIT, Math.min(1, Math.max(0, light)));
}

/** Grass by depth below the horizon, with a texture that grows towards the camera as on a level field. */
function grass(x: number, below: number): Colour {
  const nearness = Math.min(1, below / 420);
  const base =
    nearness < 0.5
      ? mixed(GRASS_FAR, GRASS_NEAR, nearness / 0.5)
      : mixed(GRASS_NEAR, GRASS_DEEP, (nearness - 0.5) / 0.5);
  const depth = 2600 / (below + 6);
  const broad = layeredNoise(((x - 960) * depth) / 900 + 50, depth * 3.1, 3) - 0.5;
  const fine = layeredNoise(x / (2 + 5 * nearness), below / (1.4 + 7 * nearness), 2) - 0.5;
  const light = 0.55 * broad + (0.25 + 0.5 * nearness) * fine;
  return light > 0
    ? mixed(base, BLADE_LIT, Math.min(0.8, light))
    : mixed(base, GRASS_DEEP, Math.min(0.8, -light * 1.3));
}

/** Single blades in the foreground, from behind the launcher to the bottom of the picture. */
function drawBlades(canvas: Canvas): void {
  for (let i = 0; i < 5200; i++) {
    const [a, b, c, d] = [0, 1, 2, 3].map((k) => latticeChance(i, 1000 + k)) as [
      number,
      number,
      number,
      number,
    ];
    const depth = Math.sqrt(a);
    const [, ground] = worldToPixel([0, HORIZON_M - 0.3 - 0.32 * depth]);
    const x = canvas.left + b * (canvas.width + 40) - 20;
    const y = ground + Math.tan(TRUE_CAMERA.rollRad) * (x - TRUE_CAMERA.origin[0]);
    const tall = (5 + 13 * depth) * (0.5 + c);
    const bend = (d - 0.45) * tall * 0.9;
    fill(
      canvas,
      [
        [x - 0.8, y],
        [x + bend * 0.4 - 0.4, y - tall * 0.6],
        [x + bend, y - tall],
        [x + bend * 0.4 + 0.7, y - tall * 0.55],
        [x + 0.9, y],
      ],
      mixed(GRASS_DEEP, BLADE_LIT, c * c),
      0.35 + 0.35 * d,
    );
  }
}

/** A soft shadow on the grass under something standing at the world's x from `fromM` to `toM`. */
export function drawGroundShadow(canvas: Canvas, fromM: number, toM: number, alpha: number): void {
  const [a, b] = [worldToPixel([fromM, GROUND_M]), worldToPixel([toM, GROUND_M])];
  const [cx, cy, rx] = [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2, (b[0] - a[0]) / 2];
  for (let k = 1; k <= 8; k++) {
    const grow = k / 8;
    const flat = circle([0, 0], 1).map(
      ([x, y]) => [cx + x * (rx + 14 * grow), cy + 2 + y * (3 + 9 * grow)] as const,
    );
    fill(canvas, flat, SHADOW, alpha / 8);
  }
}

const SHADOW = colour("#1d2b18");
