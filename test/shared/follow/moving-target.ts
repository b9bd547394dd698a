import type { GreyImage } from "../../../src/shared/follow/grey-image.ts";
import { createChance } from "../../../src/shared/quantity/chance.ts";

export const WIDTH = 240;
export const HEIGHT = 140;

/** Where the target's middle is, px as in a session, how far it has turned, and how it is seen. */
export interface Seen {
  readonly x: number;
  readonly y: number;
  readonly turn?: number;
  readonly gain?: number;
  readonly bias?: number;
  /** px, motion along x while the shutter is open. */
  readonly blurPx?: number;
  /** 0 to 1: the quarters give way to rings, so that it looks another way in the end. */
  readonly change?: number;
}

const RADIUS = 11;
const REACH = RADIUS + 6; // px from its middle, beyond which nothing of it is seen
// an edge as a lens and a sensor leave it
const soft = (distance: number) => 1 / (1 + Math.exp(distance / 0.45));

/** A background with texture, row by row. */
const BEHIND = Float64Array.from({ length: WIDTH * HEIGHT }, (_, at) => {
  const [x, y] = [(at % WIDTH) + 0.5, Math.floor(at / WIDTH) + 0.5];
  return 120 + 14 * Math.sin(x / 5.1 + 0.3 * y) + 10 * Math.cos(y / 7.3 - 0.21 * x);
});

/** Whether anything of a target may be seen at a place, at whatever instant of the exposure. */
function reaches({ x, y, blurPx = 0 }: Seen, px: number, py: number): boolean {
  return Math.abs(py - y) <= REACH && Math.abs(px - x) <= REACH + Math.abs(blurPx) / 2;
}

/**
 * A target of four quarters on a light body over a background with texture, 8-bit, with new noise of `sd`
 * grey levels for each seed.
 */
export function draw(targets: readonly Seen[], seed: number, sd = 1): GreyImage {
  const chance = createChance(seed);
  const data = new Uint8Array(WIDTH * HEIGHT);
  for (let j = 0; j < HEIGHT; j++) {
    for (let i = 0; i < WIDTH; i++) {
      const [x, y] = [i + 0.5, j + 0.5];
      let grey = BEHIND[j * WIDTH + i]!;
      for (const one of targets) {
        if (!reaches(one, x, y)) continue;
        const steps = one.blurPx === undefined ? 1 : 25;
        let [inside, level] = [0, 0];
        for (let k = 0; k < steps; k++) {
          const along = steps === 1 ? 0 : ((k + 0.5) / steps - 0.5) * (one.blurPx ?? 0);
          const part = targetAt(one, x - along, y);
          inside += part.inside / steps;
          level += (part.inside * part.level) / steps;
        }
        grey = (1 - inside) * grey + level;
      }
      data[j * WIDTH + i] = Math.max(0, Math.min(255, Math.round(grey + sd * chance.normal())));
    }
  }
  return { data, width: WIDTH, height: HEIGHT };
}

function targetAt({ x, y, turn = 0, gain = 1, bias = 0, change = 0 }: Seen, px: number, py: number) {
  const [dx, dy] = [px - x, py - y];
  const r = Math.hypot(dx, dy);
  if (r > REACH) return { inside: 0, level: 0 };
  const [c, s] = [Math.cos(turn), Math.sin(turn)];
  const [u, v] = [c * dx + s * dy, -s * dx + c * dy];
  // Light where u v < 0: the product of two soft steps, one a quarter turned against the
  // other by 80° and not 90°.
  const quarters = (2 * soft(-u) - 1) * (2 * soft(-(v * 0.985 + u * 0.17)) - 1);
  const rings = Math.sin(1.1 * u + 0.4) * Math.cos(0.9 * v - 0.2);
  const pattern = (1 - change) * quarters + change * rings;
  return { inside: soft(r - RADIUS), level: gain * (125 + 95 * pattern) + bias };
}

/** A round dark spot: it tells its place, but not how far it has turned. */
export function drawSpot(x: number, y: number, seed: number): GreyImage {
  const chance = createChance(seed);
  const data = new Uint8Array(WIDTH * HEIGHT);
  for (let j = 0; j < HEIGHT; j++) {
    for (let i = 0; i < WIDTH; i++) {
      const dark = soft(Math.hypot(i + 0.5 - x, j + 0.5 - y) - 6);
      data[j * WIDTH + i] = Math.round(190 - 140 * dark + chance.normal());
    }
  }
  return { data, width: WIDTH, height: HEIGHT };
}

/** A smooth ball, lit from above left, that stands or moves before a scene with texture. */
export function drawBall(x: number, y: number, radius: number, seed: number): GreyImage {
  const chance = createChance(seed);
  const data = new Uint8Array(WIDTH * HEIGHT);
  for (let j = 0; j < HEIGHT; j++) {
    for (let i = 0; i < WIDTH; i++) {
      const [dx, dy] = [(i + 0.5 - x) / radius, (j + 0.5 - y) / radius];
      const r = Math.min(1, Math.hypot(dx, dy));
      const lit = 45 + 130 * Math.max(0, 0.62 * Math.sqrt(1 - r * r) - 0.5 * dx - 0.6 * dy);
      const behind = 120 + 14 * Math.sin(i / 5.1 + 0.3 * j) + 10 * Math.cos(j / 7.3 - 0.21 * i);
      const inside = soft(Math.hypot(i + 0.5 - x, j + 0.5 - y) - radius);
      data[j * WIDTH + i] = Math.round(inside * lit + (1 - inside) * behind + 0.7 * chance.normal());
    }
  }
  return { data, width: WIDTH, height: HEIGHT };
}
