import { writeFile } from "node:fs/promises";
import { join } from "node:path";
import { encodeFrames } from "../../src/main/example/encode-frames.ts";
import { createChance } from "../../src/shared/quantity/chance.ts";
import type { PxPoint } from "../../src/shared/quantity/point.ts";
import { type Mark, SESSION_FORMAT, SESSION_VERSION, type Session } from "../../src/shared/session/schema.ts";

/** How the camera stands for a shot, against the first one: px moved, and rad turned about the middle. */
interface Stand {
  readonly shift: PxPoint;
  readonly turnRad: number;
}

/** A shot of the day as it truly was. */
export interface TrueShot {
  readonly clip: string;
  readonly stand: Stand;
  /** m/s */
  readonly speed: number;
  /** px by which the airframe lay off where it lay in the first. */
  readonly off: PxPoint;
}

const SIZE = { width: 512, height: 288 } as const;
const RATE_HZ = 480;
const FRAMES = 60;
const FRAMES_ELSEWHERE = 6;
const MARKED = 2; // one frame in so many, in the first shot
const M_PER_PX = 0.003125;
const REST_S = 0.026;
const PUSH_S = 0.07;
const FLIGHT_G = 9.80665;
const ANGLE = 0.17;
const PICK_U_PX = 0.3;
const NUDGE: Stand = { shift: [3.1, -2.5], turnRad: (0.2 * Math.PI) / 180 };

const ROD = { a: [96.3, 255.0], b: [416.3, 249.8] } as const;
const PLUMB = { top: [56.2, 32.2], bottom: [56.9, 232.5] } as const;
const NOSE: PxPoint = [152.5, 185.9];
const TAIL: PxPoint = [73.8, 199.8];

export const TRUE_SHOTS: readonly TrueShot[] = [
  { clip: "one.mp4", stand: { shift: [0, 0], turnRad: 0 }, speed: 5.4, off: [0, 0] },
  { clip: "two.mp4", stand: NUDGE, speed: 6.1, off: [2.7, 0.6] },
  { clip: "three.mp4", stand: { shift: [-2.2, 3.4], turnRad: -NUDGE.turnRad }, speed: 4.8, off: [-1.4, 0.8] },
];

/** A clip of another place, a short one. */
export const ELSEWHERE = "elsewhere.mp4";

/** Where the first picture shows a point of the airframe, so long after the clip's begin. */
function placeAt(point: PxPoint, { speed, off }: TrueShot, timeS: number): PxPoint {
  const pushed = Math.min(Math.max(0, timeS - REST_S), PUSH_S);
  const flown = Math.max(0, timeS - REST_S - PUSH_S);
  const along = (speed * pushed ** 2) / (2 * PUSH_S) + speed * flown;
  const [x, y] = [along * Math.cos(ANGLE), along * Math.sin(ANGLE) - (FLIGHT_G * flown ** 2) / 2];
  return [point[0] + off[0] + x / M_PER_PX, point[1] + off[1] - y / M_PER_PX];
}

/** Where a camera's picture shows a place of the first one. */
function seenFrom({ shift, turnRad }: Stand, [x, y]: PxPoint): PxPoint {
  const [dx, dy] = [x - SIZE.width / 2, y - SIZE.height / 2];
  const [c, s] = [Math.cos(turnRad), Math.sin(turnRad)];
  return [SIZE.width / 2 + c * dx - s * dy + shift[0], SIZE.height / 2 + s * dx + c * dy + shift[1]];
}

/**
 * A field folder of one set-up: a first shot that was picked and marked by hand, two more clips between which
 * the camera was nudged by 4 px and 0.2°, and one of another place. Drawn small, with a scene of blobs
 * behind.
 * @param clips those that are filmed
 */
export async function writeNudgedDay(
  folder: string,
  ffmpegPath: string,
  clips: readonly string[] = [...TRUE_SHOTS.map(({ clip }) => clip), ELSEWHERE],
): Promise<void> {
  const [first] = TRUE_SHOTS as [TrueShot];
  for (const shot of [...TRUE_SHOTS, { ...first, clip: ELSEWHERE }]) {
    const seed = shot.clip === ELSEWHERE ? 8 : 7;
    if (clips.includes(shot.clip)) await film(join(folder, shot.clip), shot, ffmpegPath, seed);
  }
  await writeFile(join(folder, "loftmark.json"), JSON.stringify(firstShot(first)));
}

function firstShot(shot: TrueShot): Session {
  const chance = createChance(3);
  const pick = ([x, y]: PxPoint): [number, number] => [
    x + PICK_U_PX * chance.normal(),
    y + PICK_U_PX * chance.normal(),
  ];
  const marks = Array.from({ length: FRAMES / MARKED }, (_, i) => i * MARKED).flatMap((frame) =>
    (["nose", "tail"] as const).map((pointId): Mark => {
      const [x, y] = pick(placeAt(pointId === "nose" ? NOSE : TAIL, shot, frame / RATE_HZ));
      return { pointId, frame, x, y, u: PICK_U_PX, by: "hand" };
    }),
  );
  const captureRateHz = { value: RATE_HZ, u: 0.2 };
  return {
    format: SESSION_FORMAT,
    version: SESSION_VERSION,
    title: "Three pushes at Sallow Bank",
    units: "SI",
    points: (["nose", "tail"] as const).map((id) => ({
      id,
      name: id,
      on: "airframe",
      airframeId: "airframe-1",
      body: null,
    })),
    airframes: [
      {
        id: "airframe-1",
        name: "Pipit 3",
        massKg: null,
        centreOfGravity: null,
        pitchInertiaKgM2: null,
        wingAreaM2: null,
        liftCoefficientMax: null,
        loadLimitG: null,
      },
    ],
    launchers: [],
    cameras: [{ id: "camera", name: "slow-motion phone", captureRateHz, exposureS: null }],
    shots: [
      {
        id: "shot-1",
        name: "Shot 1",
        clip: shot.clip,
        airframeId: "airframe-1",
        launcherId: null,
        cameraId: "camera",
        conditions: {
          gaugePressurePa: { value: 3e5, u: 3e3 },
          temperatureK: { value: 291.2, u: 1 },
          airPressurePa: { value: 100_900, u: 200 },
          headwindMPerS: { value: 0, u: 0.5 },
        },
        clock: { kind: "capture-rate", captureRateHz },
        scale: {
          a: pick(ROD.a),
          b: pick(ROD.b),
          uPx: PICK_U_PX,
          rodM: { value: M_PER_PX * Math.hypot(ROD.b[0] - ROD.a[0], ROD.b[1] - ROD.a[1]), u: 5e-4 },
        },
        plumb: { top: pick(PLUMB.top), bottom: pick(PLUMB.bottom), uPx: PICK_U_PX, hangRad: 0.001 },
        setting: {
          distanceM: { value: 4, u: 0.1 },
          nearerM: { value: 0, u: 0.002 },
          turnRad: { value: 0, u: 0 },
        },
        release: { by: "change-point" },
        direction: "right",
        marks,
        notes: "",
      },
    ],
  };
}

interface Blob {
  readonly at: PxPoint;
  readonly size: number;
  readonly light: number;
}

/** Soft light and dark spots, spread over more than the picture. */
function blobs(seed: number): readonly Blob[] {
  const chance = createChance(seed);
  return Array.from({ length: 450 }, () => ({
    at: [592 * chance.uniform() - 40, 368 * chance.uniform() - 40],
    size: 2 + 3 * chance.uniform(),
    light: 110 * (chance.uniform() - 0.5),
  }));
}

async function film(output: string, shot: TrueShot, ffmpegPath: string, seed: number): Promise<void> {
  const { width, height } = SIZE;
  const still = new Uint8Array((width * height * 3) / 2).fill(128);
  const levels = new Float64Array(width * height).fill(120);
  for (const { at, size, light } of blobs(seed)) {
    const [cx, cy] = seenFrom(shot.stand, at);
    spread([cx, cy], 3.5 * size, (x, y, i) => {
      levels[i]! += light * Math.exp(-((x - cx) ** 2 + (y - cy) ** 2) / (2 * size ** 2));
    });
  }
  still.set(levels.map((level) => Math.max(0, Math.min(255, Math.round(level)))));
  const seen = (at: PxPoint) => seenFrom(shot.stand, at);
  bar(still, seen(ROD.a), seen(ROD.b), 3, 230);
  bar(still, seen(PLUMB.top), seen(PLUMB.bottom), 0.8, 15);
  const rateHz = 30;
  await encodeFrames(
    { ffmpegPath, output, ...SIZE, rateHz, frames: seed === 7 ? FRAMES : FRAMES_ELSEWHERE },
    (frame, into) => {
      into.set(still);
      const [nose, tail] = [NOSE, TAIL].map((point) => seen(placeAt(point, shot, frame / RATE_HZ)));
      bar(into, nose!, tail!, 9, 205);
      bar(into, nose!, nose!, 4.5, 25);
      bar(into, tail!, tail!, 3, 25);
    },
    () => {},
  );
}

/** Every pixel within a reach of a place. */
function spread([cx, cy]: PxPoint, reach: number, paint: (x: number, y: number, at: number) => void): void {
  const { width, height } = SIZE;
  for (let row = Math.max(0, Math.floor(cy - reach)); row < Math.min(height, cy + reach); row++) {
    for (let column = Math.max(0, Math.floor(cx - reach)); column < Math.min(width, cx + reach); column++)
      paint(column + 0.5, row + 0.5, row * width + column);
  }
}

/** Everything within a radius of a line, its edge shaded by how much of a pixel it covers. */
function bar(into: Uint8Array, a: PxPoint, b: PxPoint, radius: number, level: number): void {
  const [dx, dy] = [b[0] - a[0], b[1] - a[1]];
  const square = dx * dx + dy * dy;
  const middle: PxPoint = [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
  spread(middle, Math.sqrt(square) / 2 + radius + 1, (x, y, at) => {
    const along = square === 0 ? 0 : Math.min(1, Math.max(0, ((x - a[0]) * dx + (y - a[1]) * dy) / square));
    const far = Math.hypot(x - a[0] - along * dx, y - a[1] - along * dy);
    const cover = Math.min(1, Math.max(0, radius + 0.5 - far));
    into[at] = Math.round(into[at]! + cover * (level - into[at]!));
  });
}
