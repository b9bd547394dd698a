import type { GreyImage } from "../../src/shared/follow/grey-image.ts";
import { createChance } from "../../src/shared/quantity/chance.ts";

export const SCENE_WIDTH = 480;
export const SCENE_HEIGHT = 270;

/** What lies over a place of the picture: how much of it, 0 to 1, and of what grey level. */
export interface Cover {
  readonly part: number;
  readonly grey: number;
}

/** Something in front of what was drawn before it, within a box, px. */
export interface Layer {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
  at(x: number, y: number): Cover;
}

/** Everything in the picture at an instant, the rearmost first. */
export type Scene = (time: number) => readonly Layer[];

export interface Filmed {
  readonly scene: Scene;
  readonly frames: number;
  /** Part of the time from frame to frame during which the shutter is open, about the frame's own instant. */
  readonly exposure: number;
  /** Gain of the sensor in a frame. */
  readonly gain?: (frame: number) => number;
  /** Grey levels. */
  readonly noiseSd: number;
  readonly seed: number;
}

const NOTHING: Cover = { part: 0, grey: 0 };
const INSTANTS = 9; // that a blurred frame is the mean of
const NOISE = 1 << 18;

/** An edge as a lens and a sensor leave it: 1 well inside (negative distance), 0 outside. */
export const soft = (distance: number) => 1 / (1 + Math.exp(distance / 0.45));

/** Draws a clip, one grey picture after the other: still scenery with texture, then the layers over it. */
export function filmed({ scene, frames, exposure, gain, noiseSd, seed }: Filmed): readonly GreyImage[] {
  const chance = createChance(seed);
  const noise = Float32Array.from({ length: NOISE }, () => chance.normal());
  const still = scenery(seed);
  return Array.from({ length: frames }, (_, k) => {
    const light = Float32Array.from(still);
    const instants = exposure > 0 ? INSTANTS : 1;
    const layered = Array.from({ length: instants }, (_, i) =>
      scene(k + (instants === 1 ? 0 : ((i + 0.5) / instants - 0.5) * exposure)),
    );
    for (const box of boxes(layered)) over(light, still, layered, box);
    const data = new Uint8Array(light.length);
    const [g, from] = [gain?.(k) ?? 1, Math.floor(chance.uniform() * NOISE)];
    for (let i = 0; i < data.length; i++) {
      const grey = g * light[i]! + noiseSd * noise[(from + i * 7 + (i >> 9)) % NOISE]!;
      data[i] = Math.max(0, Math.min(255, Math.round(grey)));
    }
    return { data, width: SCENE_WIDTH, height: SCENE_HEIGHT };
  });
}

interface Box {
  left: number;
  right: number;
  top: number;
  bottom: number;
}

/** One box about everything that covers anything during the exposure. */
function boxes(layered: readonly (readonly Layer[])[]): readonly Box[] {
  const all = layered.flat();
  if (all.length === 0) return [];
  return [
    {
      left: Math.max(0, Math.floor(Math.min(...all.map(({ left }) => left)))),
      right: Math.min(SCENE_WIDTH - 1, Math.ceil(Math.max(...all.map(({ right }) => right)))),
      top: Math.max(0, Math.floor(Math.min(...all.map(({ top }) => top)))),
      bottom: Math.min(SCENE_HEIGHT - 1, Math.ceil(Math.max(...all.map(({ bottom }) => bottom)))),
    },
  ];
}

function over(
  light: Float32Array,
  still: Float32Array,
  layered: readonly (readonly Layer[])[],
  { left, right, top, bottom }: Box,
): void {
  for (let j = top; j <= bottom; j++) {
    for (let i = left; i <= right; i++) {
      const [x, y] = [i + 0.5, j + 0.5];
      const behind = still[j * SCENE_WIDTH + i]!;
      let sum = 0;
      for (const layers of layered) {
        let grey = behind;
        for (const layer of layers) {
          if (x < layer.left || x > layer.right || y < layer.top || y > layer.bottom) continue;
          const cover = layer.at(x, y);
          grey += cover.part * (cover.grey - grey);
        }
        sum += grey;
      }
      light[j * SCENE_WIDTH + i] = sum / layered.length;
    }
  }
}

/** Bushes and a wall, as it were: smooth waves of several lengths and some hard corners. */
function scenery(seed: number): Float32Array {
  const chance = createChance(seed + 9000);
  const waves = Array.from({ length: 14 }, (_, i) => {
    const [length, turn] = [60 / (1 + i), Math.PI * chance.uniform()];
    return {
      kx: (2 * Math.PI * Math.cos(turn)) / length,
      ky: (2 * Math.PI * Math.sin(turn)) / length,
      phase: 7 * chance.uniform(),
      high: 11 / Math.sqrt(1 + i),
    };
  });
  return Float32Array.from({ length: SCENE_WIDTH * SCENE_HEIGHT }, (_, at) => {
    const [x, y] = [at % SCENE_WIDTH, Math.floor(at / SCENE_WIDTH)];
    const bricks = (Math.floor(x / 37) + Math.floor(y / 29)) % 2 === 0 ? 9 : -9;
    return waves.reduce(
      (sum, { kx, ky, phase, high }) => sum + high * Math.sin(kx * x + ky * y + phase),
      115 + bricks,
    );
  });
}

/** Where a body is at an instant, and how far it has turned, rad. */
export interface Pose {
  readonly x: number;
  readonly y: number;
  readonly turn: number;
}

/** Where a place of the body, right and down of its middle, lies in the picture. */
export function carriedBy(
  { x, y, turn }: Pose,
  [a, b]: readonly [number, number],
): readonly [number, number] {
  const [c, s] = [Math.cos(turn), Math.sin(turn)];
  return [x + c * a - s * b, y + s * a + c * b];
}

/** A layer that is drawn in the body's own coordinates. */
export function onBody(pose: Pose, reach: number, cover: (u: number, v: number) => Cover): Layer {
  const [c, s] = [Math.cos(pose.turn), Math.sin(pose.turn)];
  return {
    ...around(pose.x, pose.y, reach),
    at(x, y) {
      const [dx, dy] = [x - pose.x, y - pose.y];
      return cover(c * dx + s * dy, -s * dx + c * dy);
    },
  };
}

export const around = (x: number, y: number, reach: number) => ({
  left: x - reach,
  right: x + reach,
  top: y - reach,
  bottom: y + reach,
});

/** A light bar with round ends. */
export function bar(pose: Pose, halfLength: number, halfWidth: number, grey = 175): Layer {
  return onBody(pose, halfLength + halfWidth + 4, (u, v) => {
    const along = Math.max(0, Math.abs(u) - halfLength);
    return { part: soft(Math.hypot(along, v) - halfWidth), grey: grey + 6 * Math.sin(u / 9) };
  });
}

/** A target of four quarters, `contrast` grey levels to either side of 125. */
export function quarters(
  pose: Pose,
  [a, b]: readonly [number, number],
  radius: number,
  contrast = 85,
): Layer {
  const [x, y] = carriedBy(pose, [a, b]);
  return onBody({ x, y, turn: pose.turn }, radius + 5, (u, v) => {
    const sign = (2 * soft(-u) - 1) * (2 * soft(-v) - 1);
    return { part: soft(Math.hypot(u, v) - radius), grey: 125 + contrast * sign };
  });
}

/** A round hole, dark. */
export function hole(pose: Pose, [a, b]: readonly [number, number], radius: number, grey = 40): Layer {
  const [x, y] = carriedBy(pose, [a, b]);
  return onBody({ x, y, turn: 0 }, radius + 5, (u, v) => ({ part: soft(Math.hypot(u, v) - radius), grey }));
}

/** A smooth ball, lit from above left: its shading stays as it is however it rolls. */
export function ball({ x, y }: Pose, radius: number): Layer {
  return onBody({ x, y, turn: 0 }, radius + 5, (u, v) => {
    const r = Math.min(1, Math.hypot(u, v) / radius);
    const lit = Math.max(0, (-0.5 * u - 0.6 * v) / radius + 0.62 * Math.sqrt(1 - r * r));
    return { part: soft(Math.hypot(u, v) - radius), grey: 45 + 130 * lit };
  });
}

/** A post, upright over the whole picture. */
export function post(x: number, halfWidth: number, grey = 70): Layer {
  return {
    left: x - halfWidth - 4,
    right: x + halfWidth + 4,
    top: 0,
    bottom: SCENE_HEIGHT,
    at: (px, py) => ({ part: soft(Math.abs(px - x) - halfWidth), grey: grey + 9 * Math.sin(py / 6) }),
  };
}

/** A glow or a cloud: most in its middle, nothing beyond three times its size. */
export function cloud(x: number, y: number, size: number, most: number, grey: number): Layer {
  return {
    ...around(x, y, 3 * size),
    at(px, py) {
      const r = Math.hypot(px - x, py - y) / size;
      return r > 3 ? NOTHING : { part: most * Math.exp(-0.5 * r * r), grey };
    },
  };
}

/** Shadow right of an edge that moves: `dark` is what is left of the light. */
export function shadow(edge: number, dark: number): Layer {
  return {
    left: edge - 10,
    right: SCENE_WIDTH,
    top: 0,
    bottom: SCENE_HEIGHT,
    at: (px) => ({ part: (1 - dark) * (1 - soft((px - edge) / 2)), grey: 8 }),
  };
}
