import type { GreyImage } from "../../src/shared/follow/grey-image.ts";
import { createChance } from "../../src/shared/quantity/chance.ts";

export interface DrawnTarget {
  readonly kind: "quarters" | "cross";
  /** px of the picture, pixel centres at halves. */
  readonly at: readonly [number, number];
  readonly radius: number;
}

export interface TargetScene {
  readonly image: GreyImage;
  readonly targets: readonly DrawnTarget[];
  /** The hanging line; px. */
  readonly line: { readonly top: readonly [number, number]; readonly bottom: readonly [number, number] };
}

interface Shade {
  (x: number, y: number): number | null;
  /** Middle and reach of the square it keeps to; all of the picture when left out. */
  box?: readonly [x: number, y: number, reach: number];
}

function boxed(box: NonNullable<Shade["box"]>, shade: Shade): Shade {
  shade.box = box;
  return shade;
}

const [WIDTH, HEIGHT, FINE] = [560, 420, 4];

/**
 * A drawn scene with clutter: sky and grass, boxes, ellipses, triangles, long lines, rows of short strokes
 * like writing, a banded board, a wall of bricks; over it a hanging line and targets, turned, of several
 * sizes and contrasts; then blur and noise.
 */
export function targetScene(seed: number): TargetScene {
  const chance = createChance(seed);
  const next = () => chance.uniform();
  const between = (low: number, high: number) => low + (high - low) * next();
  const shades: Shade[] = [...clutter(between)];
  const line = hangingLine(between);
  shades.push(line.shade);
  const targets: DrawnTarget[] = [];
  while (targets.length < 6) {
    const kind = targets.length % 3 === 2 ? "cross" : "quarters";
    const radius = kind === "cross" ? between(9, 17) : between(8, 22);
    const at = [between(60, WIDTH - 60), between(60, HEIGHT - 60)] as const;
    const isFree =
      targets.every((one) => Math.hypot(one.at[0] - at[0], one.at[1] - at[1]) > 80) &&
      Math.abs(at[0] - line.x) > 50;
    if (!isFree) continue;
    targets.push({ kind, at, radius });
    shades.push(
      ...targetShades(kind, at, radius, between).map((one) => boxed([...at, 2 * radius + 16], one)),
    );
  }
  const image = rendered(shades, between(0.5, 0.9), between(0.5, 2.5), chance.normal);
  return { image, targets, line: { top: line.top, bottom: line.bottom } };
}

type Between = (low: number, high: number) => number;

function* clutter(between: Between): Generator<Shade> {
  const [sky, slope, grass] = [between(150, 220), between(-0.1, 0.1), between(70, 120)];
  const horizon = between(240, 330);
  yield (x, y) =>
    y < horizon
      ? sky + slope * y
      : grass + 14 * Math.sin(x * 1.7 + 3 * Math.sin(y * 0.9)) + 9 * Math.sin(y * 2.3 + x);
  for (let i = 0; i < 8; i++) {
    const [x0, y0, w, h, grey] = [
      between(0, WIDTH),
      between(0, HEIGHT),
      between(8, 120),
      between(8, 90),
      between(30, 230),
    ];
    const turn = between(0, Math.PI);
    yield boxed([x0, y0, Math.hypot(w, h)], (x, y) => {
      const [u, v] = turned(x - x0, y - y0, turn);
      return Math.abs(u) < w / 2 && Math.abs(v) < h / 2 ? grey : null;
    });
  }
  for (let i = 0; i < 6; i++) {
    const [x0, y0, a, b, grey] = [
      between(0, WIDTH),
      between(0, HEIGHT),
      between(6, 50),
      between(6, 40),
      between(30, 230),
    ];
    yield boxed([x0, y0, a + b], (x, y) => (((x - x0) / a) ** 2 + ((y - y0) / b) ** 2 < 1 ? grey : null));
  }
  for (let i = 0; i < 5; i++) {
    const [x0, y0, turn, grey] = [between(0, WIDTH), between(0, HEIGHT), between(0.3, 2.8), between(20, 120)];
    const half = between(0.8, 3);
    yield (x, y) => (Math.abs(turned(x - x0, y - y0, turn)[1]) < half ? grey : null);
  }
  const [bx, by, ink] = [between(40, 380), between(40, 330), between(20, 80)];
  const strokes = Array.from(
    { length: 40 },
    (_, i) => [bx + (i % 10) * 14, by + Math.floor(i / 10) * 20, between(0, 3)] as const,
  );
  yield boxed([bx + 70, by + 40, 90], (x, y) => {
    for (const [sx, sy, turn] of strokes) {
      if (Math.abs(x - sx) > 8 || Math.abs(y - sy) > 8) continue;
      const [u, v] = turned(x - sx, y - sy, turn);
      if (Math.abs(u) < 6 && Math.abs(v) < 1.6) return ink;
    }
    return null;
  });
  const [wx, wy, brick, joint] = [between(40, 400), between(60, 330), between(90, 140), between(160, 210)];
  yield boxed([wx + 65, wy + 36, 70], (x, y) => {
    if (x < wx || x > wx + 130 || y < wy || y > wy + 72) return null;
    const row = Math.floor((y - wy) / 12);
    const isJoint = (y - wy) % 12 < 2 || (x - wx + (row % 2) * 13) % 26 < 2;
    return isJoint ? joint : brick;
  });
  const [rx, ry] = [between(40, 280), between(40, 380)];
  yield boxed([rx + 130, ry + 12, 135], (x, y) => {
    if (x < rx || x > rx + 260 || y < ry || y > ry + 24) return null;
    return (Math.floor((x - rx) / 40) % 2 === 0) === y < ry + 12 ? 60 : 220;
  });
}

function hangingLine(between: Between) {
  const [x, lean, length] = [between(80, WIDTH - 80), between(-0.05, 0.05), between(150, 300)];
  const [y0, half] = [between(20, 120), between(0.7, 1.6)];
  const shade: Shade = (px, py) =>
    py > y0 && py < y0 + length && Math.abs(px - x - lean * (py - y0)) < half ? 15 : null;
  const bottom = [x + lean * length, y0 + length] as const;
  return { shade, x, top: [x, y0] as const, bottom };
}

function targetShades(
  kind: DrawnTarget["kind"],
  [cx, cy]: readonly [number, number],
  radius: number,
  between: Between,
): Shade[] {
  const [dark, light, turn] = [between(15, 70), between(150, 245), between(0, Math.PI)];
  if (kind === "cross") {
    const half = between(1.2, 2.4);
    const paper: Shade = (x, y) =>
      Math.max(...turned(x - cx, y - cy, turn).map(Math.abs)) < radius + 8 ? light : null;
    return [
      paper,
      (x, y) => {
        const [u, v] = turned(x - cx, y - cy, turn).map(Math.abs) as [number, number];
        return Math.min(u, v) < half && Math.max(u, v) < radius ? dark : null;
      },
    ];
  }
  const ring = between(0, 1) < 0.5 ? Math.min(2.2, radius * 0.14) : 0;
  return [
    (x, y) => {
      const r = Math.hypot(x - cx, y - cy);
      if (r > radius) return null;
      if (r > radius - ring) return dark;
      const [u, v] = turned(x - cx, y - cy, turn);
      return u * v > 0 ? dark : light;
    },
  ];
}

function turned(x: number, y: number, angle: number): readonly [number, number] {
  const [c, s] = [Math.cos(angle), Math.sin(angle)];
  return [c * x + s * y, -s * x + c * y];
}

/** Each shade painted over those before it, by the share of every pixel that it covers. */
function rendered(shades: readonly Shade[], blur: number, noise: number, normal: () => number): GreyImage {
  const mean = new Float64Array(WIDTH * HEIGHT);
  for (const shade of shades) {
    const [cx, cy, reach] = shade.box ?? [WIDTH / 2, HEIGHT / 2, WIDTH];
    const fine = shade.box === undefined ? 2 : FINE;
    for (let y = Math.max(0, Math.floor(cy - reach)); y < Math.min(HEIGHT, cy + reach); y++) {
      for (let x = Math.max(0, Math.floor(cx - reach)); x < Math.min(WIDTH, cx + reach); x++) {
        const before = mean[y * WIDTH + x]!;
        let sum = 0;
        for (let b = 0; b < fine; b++) {
          for (let a = 0; a < fine; a++) sum += shade(x + (a + 0.5) / fine, y + (b + 0.5) / fine) ?? before;
        }
        mean[y * WIDTH + x] = sum / fine ** 2;
      }
    }
  }
  const kernel = [-3, -2, -1, 0, 1, 2, 3].map((k) => Math.exp(-(k * k) / (2 * blur * blur)));
  const total = kernel.reduce((sum, one) => sum + one, 0);
  const across = (data: Float64Array, step: number, count: (at: number) => number, most: number) =>
    data.map((_, at) =>
      kernel.reduce((sum, weight, i) => {
        const k = Math.max(0, Math.min(most - 1, count(at) + i - 3)) - count(at);
        return sum + (weight / total) * (data[at + k * step] ?? 0);
      }, 0),
    );
  const once = across(mean, 1, (at) => at % WIDTH, WIDTH);
  const twice = across(once, WIDTH, (at) => Math.floor(at / WIDTH), HEIGHT);
  return {
    width: WIDTH,
    height: HEIGHT,
    data: Uint8Array.from(twice, (grey) => Math.max(0, Math.min(255, Math.round(grey + noise * normal())))),
  };
}
