/**
 * Smooth random fields for sky, trees and grass. The same place always has the same value: no state, no seed.
 */

/**
 * A number in [0, 1) that belongs to a lattice point; integer mixing after Jenkins' one-at-a-time function.
 */
export function latticeChance(ix: number, iy: number): number {
  let h = (Math.imul(ix, 0x27d4eb2d) ^ Math.imul(iy, 0x165667b1)) | 0;
  h = Math.imul(h ^ (h >>> 15), 0x2c1b3c6d);
  h = Math.imul(h ^ (h >>> 12), 0x297a2d39);
  return ((h ^ (h >>> 15)) >>> 0) / 2 ** 32;
}

/** Value noise in [0, 1]: lattice chances joined by smooth steps. */
export function smoothNoise(x: number, y: number): number {
  const [ix, iy] = [Math.floor(x), Math.floor(y)];
  const [fx, fy] = [x - ix, y - iy];
  const [wx, wy] = [fx * fx * (3 - 2 * fx), fy * fy * (3 - 2 * fy)];
  const upper = latticeChance(ix, iy) * (1 - wx) + latticeChance(ix + 1, iy) * wx;
  const lower = latticeChance(ix, iy + 1) * (1 - wx) + latticeChance(ix + 1, iy + 1) * wx;
  return upper * (1 - wy) + lower * wy;
}

/**
 * Layers of value noise, each at twice the pitch and half the height of the one before;
 * in [0, 1], mean about 0.5.
 */
export function layeredNoise(x: number, y: number, layers: number): number {
  let [sum, weight, scale] = [0, 0, 1];
  for (let i = 0; i < layers; i++) {
    sum += smoothNoise(x * scale + 17.3 * i, y * scale - 9.1 * i) / scale;
    weight += 1 / scale;
    scale *= 2;
  }
  return sum / weight;
}
