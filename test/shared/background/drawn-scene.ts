import type { GreyImage } from "../../../src/shared/follow/grey-image.ts";
import { createChance } from "../../../src/shared/quantity/chance.ts";
import type { PxPoint } from "../../../src/shared/quantity/point.ts";

/** Blobs of light spread over a scene larger than a picture: detail everywhere, known at every place. */
const CHANCE = createChance(5);
const BLOBS = Array.from({ length: 900 }, () => ({
  x: 1000 * CHANCE.uniform() - 200,
  y: 700 * CHANCE.uniform() - 150,
  size: 2 + 4 * CHANCE.uniform(),
  light: 120 * (CHANCE.uniform() - 0.5),
}));
const CELL = 20;
const NEAR = new Map<string, typeof BLOBS>();
for (const blob of BLOBS) {
  for (let i = -1; i <= 1; i++) {
    for (let j = -1; j <= 1; j++) {
      const key = `${Math.floor(blob.x / CELL) + i} ${Math.floor(blob.y / CELL) + j}`;
      NEAR.set(key, [...(NEAR.get(key) ?? []), blob]);
    }
  }
}

/** Grey level of the scene at a place, px of the first picture. */
export function sceneAt([x, y]: PxPoint): number {
  let sum = 110;
  for (const blob of NEAR.get(`${Math.floor(x / CELL)} ${Math.floor(y / CELL)}`) ?? []) {
    const far = ((x - blob.x) ** 2 + (y - blob.y) ** 2) / (2 * blob.size ** 2);
    if (far < 6) sum += blob.light * Math.exp(-far);
  }
  return sum;
}

export const DRAWN = { width: 480, height: 360 } as const;

/**
 * A picture of the scene with noise of 1.5 grey levels.
 * @param sceneOf the place of the scene, in px of the first picture, that a pixel shows
 * @param over grey level of what stands before the scene at a pixel; null where nothing does
 */
export function drawn(
  sceneOf: (px: PxPoint) => PxPoint,
  seed: number,
  over: (px: PxPoint) => number | null = () => null,
): GreyImage {
  const { width, height } = DRAWN;
  const chance = createChance(seed);
  const data = new Uint8Array(width * height);
  for (let row = 0; row < height; row++) {
    for (let column = 0; column < width; column++) {
      const px: PxPoint = [column + 0.5, row + 0.5];
      const level = over(px) ?? sceneAt(sceneOf(px));
      data[row * width + column] = Math.max(0, Math.min(255, Math.round(level + 1.5 * chance.normal())));
    }
  }
  return { data, width, height };
}
