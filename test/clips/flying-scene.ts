import { createChance } from "../../src/shared/quantity/chance.ts";

/*
 * A scene as a follower meets it: a still ground with texture, and a body with a round target that flies
 * across it, faster and faster, under grain that is new in every frame.
 */
export const SCENE_WIDTH = 320;
export const SCENE_HEIGHT = 192;

const GRAIN = 5; // grey levels from darkest to lightest grain
const TARGET_RADIUS = 9; // px
const BODY = 200; // grey level
const PARTS = 4; // of a pixel each way
const BODY_HALF_HEIGHT = 20; // px: the ground behind is no part of what is followed

/** Middle of the target in a frame, px, as marks are. */
export function targetAt(frame: number, count: number): readonly [number, number] {
  const along = frame / Math.max(1, count - 1);
  return [50.5 + 150 * along + 70 * along ** 2, 110.5 - 30 * along];
}

/** Grey pictures, row by row, of `count` frames; the seed makes the ground and the grain. */
export function flyingScene(count: number, seed: number): readonly Uint8Array[] {
  const ground = groundOf(seed);
  return Array.from({ length: count }, (_, frame) => pictureOf(ground, frame, count, seed));
}

function groundOf(seed: number): Float64Array {
  const chance = createChance(seed);
  const waves = Array.from({ length: 24 }, () => ({
    kx: 0.35 * chance.normal(),
    ky: 0.35 * chance.normal(),
    phase: 2 * Math.PI * chance.uniform(),
  }));
  const ground = new Float64Array(SCENE_WIDTH * SCENE_HEIGHT);
  for (let y = 0; y < SCENE_HEIGHT; y++) {
    for (let x = 0; x < SCENE_WIDTH; x++) {
      const sum = waves.reduce((total, { kx, ky, phase }) => total + Math.sin(kx * x + ky * y + phase), 0);
      ground[y * SCENE_WIDTH + x] = 128 + 9 * sum;
    }
  }
  return ground;
}

function pictureOf(ground: Float64Array, frame: number, count: number, seed: number): Uint8Array {
  const chance = createChance(1000 * seed + frame);
  const [tx, ty] = targetAt(frame, count);
  const picture = new Uint8Array(SCENE_WIDTH * SCENE_HEIGHT);
  for (let y = 0; y < SCENE_HEIGHT; y++) {
    for (let x = 0; x < SCENE_WIDTH; x++) {
      const at = y * SCENE_WIDTH + x;
      const [dx, dy] = [x + 0.5 - tx, y + 0.5 - ty];
      const body = Math.abs(dx) < 34 && Math.abs(dy) < BODY_HALF_HEIGHT ? BODY : (ground[at] as number);
      const grey = Math.hypot(dx, dy) < TARGET_RADIUS + 1 ? targetGrey(dx, dy) : body;
      picture[at] = Math.min(255, Math.max(0, grey + GRAIN * (chance.uniform() - 0.5)));
    }
  }
  return picture;
}

/**
 * Mean over a pixel, as a camera sees it: light and dark quarters fix the target's place in both directions.
 */
function targetGrey(dx: number, dy: number): number {
  let sum = 0;
  for (let i = 0; i < PARTS ** 2; i++) {
    const x = dx + ((i % PARTS) + 0.5) / PARTS - 0.5;
    const y = dy + (Math.floor(i / PARTS) + 0.5) / PARTS - 0.5;
    sum += Math.hypot(x, y) >= TARGET_RADIUS ? BODY : x * y > 0 ? 30 : 235;
  }
  return sum / PARTS ** 2;
}
