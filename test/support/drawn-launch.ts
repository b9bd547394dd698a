import { encodeFrames } from "../../src/main/example/encode-frames.ts";
import { createChance } from "../../src/shared/quantity/chance.ts";

/*
 * A small drawn clip of a launch that has nothing in common with the example but the trade: another place,
 * another airframe, another size. The push is even, so that what is true of it can be worked by hand.
 */
const [WIDTH, HEIGHT, FINE] = [640, 400, 4];
const RATE_HZ = 240;
const M_PER_PX = 0.0025;
const [AT_REST, FLIGHT] = [16, 12]; // frames
const ACCELERATION = 80; // m/s²
const STROKE_M = 0.5;
const ANGLE = (8 * Math.PI) / 180;
const G = 9.81;
const PUSH_S = Math.sqrt((2 * STROKE_M) / ACCELERATION);
const STARTS_S = (AT_REST - 0.4) / RATE_HZ; // between two frames
const FRAMES = Math.ceil((STARTS_S + PUSH_S) * RATE_HZ) + FLIGHT;
/** px, upright picture: nose and tail at rest, the ends of the board, the cord. */
const [NOSE, TAIL] = [
  [168, 216],
  [58, 231],
] as const;
const [BOARD_A, BOARD_B] = [
  [130, 352],
  [530, 356],
] as const;
const [CORD_TOP, CORD_BOTTOM] = [
  [596, 60],
  [596, 300],
] as const;

type Place = readonly [number, number];
type Shade = (x: number, y: number) => number | null;

/** What is true of it, SI. */
export const DRAWN_TRUTH = {
  rateHz: RATE_HZ,
  boardM: Math.hypot(BOARD_B[0] - BOARD_A[0], BOARD_B[1] - BOARD_A[1]) * M_PER_PX,
  releaseSpeed: ACCELERATION * PUSH_S,
  peakAcceleration: ACCELERATION,
  launchAngle: ANGLE,
  pitchRateAtRelease: 0,
  startsS: STARTS_S,
  nose: NOSE,
  tail: TAIL,
  boardA: BOARD_A,
  boardB: BOARD_B,
} as const;

/** Draws the clip. */
export async function writeDrawnLaunch(output: string, ffmpegPath: string): Promise<void> {
  const chance = createChance(11);
  const still = painted(
    new Float64Array(WIDTH * HEIGHT),
    scenery(() => chance.uniform()),
  );
  const grain = Int8Array.from({ length: 4 * WIDTH * HEIGHT }, () => Math.round(1.2 * chance.normal()));
  const order = { ffmpegPath, output, width: WIDTH, height: HEIGHT, rateHz: 30, frames: FRAMES };
  await encodeFrames(
    order,
    (frame, into) => {
      const [dx, dy] = movedPx(frame / RATE_HZ);
      const all = painted(Float64Array.from(still), airframe(dx, dy));
      const from = (frame * 77_713) % (3 * WIDTH * HEIGHT);
      into.fill(128);
      for (let i = 0; i < all.length; i++)
        into[i] = Math.max(16, Math.min(235, Math.round(all[i]! + grain[from + i]!)));
    },
    () => {},
  );
}

/** px by which the airframe has moved at a time. */
function movedPx(t: number): Place {
  const push = Math.max(0, Math.min(PUSH_S, t - STARTS_S));
  const flight = Math.max(0, t - STARTS_S - PUSH_S);
  const along = (ACCELERATION * push ** 2) / 2 + ACCELERATION * PUSH_S * flight;
  const [x, up] = [along * Math.cos(ANGLE), along * Math.sin(ANGLE) - (G * flight ** 2) / 2];
  return [x / M_PER_PX, -up / M_PER_PX];
}

function* scenery(next: () => number): Generator<Boxed> {
  const between = (low: number, high: number) => low + (high - low) * next();
  yield { box: [0, 0, WIDTH, HEIGHT], shade: (x, y) => (y < 290 ? 178 - 0.08 * y + 0.01 * x : 96) };
  for (let i = 0; i < 70; i++) {
    const [x, y, w, h] = [between(0, WIDTH), between(20, HEIGHT), between(6, 46), between(6, 30)];
    const grey = y < 290 ? between(120, 200) : between(60, 130);
    yield { box: [x, y, x + w, y + h], shade: () => grey };
  }
  const [length, tilt] = [
    Math.hypot(BOARD_B[0] - BOARD_A[0], BOARD_B[1] - BOARD_A[1]),
    Math.atan2(BOARD_B[1] - BOARD_A[1], BOARD_B[0] - BOARD_A[0]),
  ];
  yield {
    box: [BOARD_A[0] - 40, BOARD_A[1] - 30, BOARD_B[0] + 40, BOARD_B[1] + 30],
    shade: (x, y) => {
      const [u, v] = turned(x - BOARD_A[0], y - BOARD_A[1], tilt);
      if (u < -22 || u > length + 22 || Math.abs(v) > 19) return null;
      return Math.abs(v) > 17 ? 40 : 214;
    },
  };
  yield target(BOARD_A, 12, 0.1);
  yield target(BOARD_B, 12, 0.1);
  const [x, top] = CORD_TOP;
  yield {
    box: [x - 60, top - 14, x + 20, top],
    shade: (_x, y) => (y > top - 8 ? 70 : null), // the arm that it hangs from
  };
  yield {
    box: [x - 14, top, x + 14, CORD_BOTTOM[1] + 26],
    shade: (px, y) => {
      const half = y < CORD_BOTTOM[1] ? 0.9 : 6;
      return Math.abs(px - x) < half ? 24 : null;
    },
  };
}

interface Boxed {
  readonly box: readonly [left: number, top: number, right: number, bottom: number];
  readonly shade: Shade;
}

function* airframe(dx: number, dy: number): Generator<Boxed> {
  const [nose, tail] = [NOSE, TAIL].map(([x, y]): Place => [x + dx, y + dy]) as [Place, Place];
  const tilt = Math.atan2(tail[1] - nose[1], tail[0] - nose[0]);
  const length = Math.hypot(tail[0] - nose[0], tail[1] - nose[1]);
  const box = [tail[0] - 40, nose[1] - 60, nose[0] + 50, tail[1] + 40] as const;
  yield {
    box,
    shade: (x, y) => {
      const [u, v] = turned(x - nose[0], y - nose[1], tilt);
      const half = 15 * Math.min(1, Math.max(0, (u + 34) / 20));
      if (u < -34 || u > length + 22) return null;
      if (u > length - 4 && v > 0 && v < 44) return 60; // the fin
      return Math.abs(v) < half ? 82 : null;
    },
  };
  yield target(nose, 11, 0.4);
  yield target(tail, 11, 1);
}

function target(at: Place, radius: number, turn: number): Boxed {
  return {
    box: [at[0] - radius - 1, at[1] - radius - 1, at[0] + radius + 1, at[1] + radius + 1],
    shade: (x, y) => {
      const [u, v] = turned(x - at[0], y - at[1], turn);
      if (Math.hypot(u, v) > radius) return null;
      return u * v > 0 ? 28 : 226;
    },
  };
}

function turned(x: number, y: number, angle: number): Place {
  const [c, s] = [Math.cos(angle), Math.sin(angle)];
  return [c * x + s * y, -s * x + c * y];
}

/** Each shade over those before it, by the share of every pixel that it covers. */
function painted(into: Float64Array, all: Iterable<Boxed>): Float64Array {
  for (const { box, shade } of all) {
    const [left, top, right, bottom] = box.map(Math.round) as [number, number, number, number];
    for (let y = Math.max(0, top); y < Math.min(HEIGHT, bottom); y++) {
      for (let x = Math.max(0, left); x < Math.min(WIDTH, right); x++) {
        const before = into[y * WIDTH + x]!;
        let sum = 0;
        for (let k = 0; k < FINE ** 2; k++)
          sum += shade(x + ((k % FINE) + 0.5) / FINE, y + (Math.floor(k / FINE) + 0.5) / FINE) ?? before;
        into[y * WIDTH + x] = sum / FINE ** 2;
      }
    }
  }
  return into;
}
