import { writeFile } from "node:fs/promises";
import { join } from "node:path";
import { encodeFrames } from "../../src/main/example/encode-frames.ts";
import {
  bodyToWorld,
  type Pixel,
  TRUE_AIRFRAME,
  TRUE_PLUMB,
  TRUE_RAM,
  TRUE_SCALE_ROD,
  type World,
  worldToPixel,
} from "../../src/main/example/example-scene.ts";
import { flyAfterRelease } from "../../src/shared/launch/flight.ts";
import { predictRam } from "../../src/shared/launch/ram/predict-ram.ts";
import type { RamInputs } from "../../src/shared/launch/ram/ram-inputs.ts";
import { type Chance, createChance } from "../../src/shared/quantity/chance.ts";
import type { Measured } from "../../src/shared/quantity/measured.ts";
import { unwrap } from "../../src/shared/quantity/result.ts";
import {
  type Mark,
  type RamLauncher,
  SESSION_FORMAT,
  SESSION_VERSION,
  type Session,
  type Shot,
} from "../../src/shared/session/schema.ts";

/**
 * Half the size of the example's pictures, the same view, half as many frames a second: cheap to
 * draw, and harder to measure.
 */
const SIZE = { width: 960, height: 540 } as const;
const RATE_HZ = 480;
const PLAYBACK_HZ = 30;
const PICK_U_PX = 0.3;
const OPENS_S = 0.05;
const FLIGHT_S = 0.045;
const TARGET_RADIUS_PX = 5;

/**
 * What was truly the case; what its builder states of it is this plus a drawn error
 * of the stated uncertainty.
 */
const TRUE_INPUTS = {
  tankVolumeM3: TRUE_RAM.tankVolumeM3,
  boreM: TRUE_RAM.boreM,
  strokeM: TRUE_RAM.strokeM,
  deadVolumeM3: TRUE_RAM.deadVolumeM3,
  conductance: TRUE_RAM.valve.conductance,
  criticalRatio: TRUE_RAM.valve.criticalRatio,
  openingS: TRUE_RAM.openingS,
  movingMassKg: TRUE_RAM.totalMassKg - TRUE_AIRFRAME.massKg,
  angleRad: TRUE_RAM.angleRad,
  breakawayN: TRUE_RAM.breakawayN,
  slidingN: TRUE_RAM.slidingN,
  viscousNsPerM: TRUE_RAM.viscousNsPerM,
} as const;

export interface ShotsField {
  readonly session: Session;
  /** True value of each input of the launcher, by path. */
  readonly truth: ReadonlyMap<string, number>;
  /** m/s, true release speed of each shot, by id. */
  readonly speeds: ReadonlyMap<string, number>;
  /** Writes clips and session into an existing folder. */
  write(folder: string, ffmpegPath: string): Promise<void>;
}

interface DrawnShot {
  readonly clip: string;
  readonly frames: number;
  /** Pixels of nose and tail in a frame. */
  targets(frame: number): readonly [Pixel, Pixel];
}

/**
 * A field folder of one ram's shots at given tank pressures (Pa gauge), as a builder would have marked them:
 * launcher, gauge readings, picks and marks are the truth plus seeded errors of their stated uncertainty. Rod
 * and capture rate are measured once for all shots.
 */
export function shotsField(seed: number, pressures: readonly number[]): ShotsField {
  const chance = createChance(seed);
  const measured = (truth: number, u: number): Measured => ({ value: truth + u * chance.normal(), u });
  const launcher = statedLauncher(measured);
  const rodM = measured(1, 4e-4);
  const captureRateHz = measured(RATE_HZ, 0.2);
  const alongM = measured(TRUE_AIRFRAME.targets.nose[0], 0.001);
  const speeds = new Map<string, number>();
  const drawn: DrawnShot[] = [];
  const shots = pressures.map((gaugePressurePa, i): Shot => {
    const id = `shot-${i + 1}`;
    const inputs: RamInputs = { ...TRUE_RAM, gaugePressurePa };
    const motion = motionOf(inputs);
    speeds.set(id, motion.speed);
    const frames = Math.ceil((motion.releaseS + FLIGHT_S) * RATE_HZ);
    const targets = (frame: number): readonly [Pixel, Pixel] => {
      const pose = motion.pose(frame / RATE_HZ);
      return [
        pixel(bodyToWorld(pose, TRUE_AIRFRAME.targets.nose)),
        pixel(bodyToWorld(pose, TRUE_AIRFRAME.targets.tail)),
      ];
    };
    const clip = `${id}.mp4`;
    drawn.push({ clip, frames, targets });
    return {
      id,
      name: `Shot ${i + 1}`,
      clip,
      airframeId: "airframe-1",
      launcherId: "launcher-1",
      cameraId: "camera",
      conditions: {
        gaugePressurePa: measured(gaugePressurePa, 3e3),
        temperatureK: measured(TRUE_RAM.temperatureK, 1),
        airPressurePa: measured(TRUE_RAM.airPressurePa, 200),
        headwindMPerS: { value: 0, u: 0.5 },
      },
      clock: { kind: "capture-rate", captureRateHz, gaps: [] },
      scale: {
        a: pick(chance, pixel(TRUE_SCALE_ROD.a)),
        b: pick(chance, pixel(TRUE_SCALE_ROD.b)),
        uPx: PICK_U_PX,
        rodM,
      },
      plumb: {
        top: pick(chance, pixel(TRUE_PLUMB.top)),
        bottom: pick(chance, pixel(TRUE_PLUMB.bottom)),
        uPx: PICK_U_PX,
        hangRad: 0.0005,
      },
      release: { by: "change-point" },
      direction: "right",
      marks: handMarks(chance, frames, targets),
      notes: "",
    };
  });
  const session: Session = {
    format: SESSION_FORMAT,
    version: SESSION_VERSION,
    title: "Pressure series at Tansy Holm",
    units: "SI",
    points: [
      { id: "nose", name: "nose", on: "airframe", airframeId: "airframe-1", body: null },
      { id: "tail", name: "tail", on: "airframe", airframeId: "airframe-1", body: null },
    ],
    airframes: [
      {
        id: "airframe-1",
        name: "Brindle 2",
        massKg: measured(TRUE_AIRFRAME.massKg, 0.002),
        centreOfGravity: {
          fromPointId: "nose",
          towardPointId: "tail",
          alongM,
          aboveM: measured(-TRUE_AIRFRAME.targets.nose[1], 0.001),
        },
        pitchInertiaKgM2: null,
        wingAreaM2: null,
        liftCoefficientMax: null,
        loadLimitG: null,
      },
    ],
    launchers: [{ ...launcher, id: "launcher-1" }],
    cameras: [{ id: "camera", name: "slow-motion phone", captureRateHz, exposureS: 1 / 4000 }],
    shots,
  };
  const { conductance, criticalRatio, ...plain } = TRUE_INPUTS;
  return {
    session,
    truth: new Map([
      ...Object.entries(plain),
      ["valve.conductance", conductance],
      ["valve.criticalRatio", criticalRatio],
    ]),
    speeds,
    async write(folder, ffmpegPath) {
      for (const shot of drawn) await film(join(folder, shot.clip), shot, ffmpegPath);
      await writeFile(join(folder, "loftmark.json"), JSON.stringify(session));
    },
  };
}

function statedLauncher(measured: (truth: number, u: number) => Measured): RamLauncher {
  const t = TRUE_INPUTS;
  return {
    kind: "compressed-air-ram",
    name: "Teasel ram",
    tankVolumeM3: measured(t.tankVolumeM3, 4e-5),
    tankMaterial: "metal",
    tankRatingPa: 1e6,
    boreM: measured(t.boreM, 3e-5),
    strokeM: measured(t.strokeM, 0.001),
    deadVolumeM3: measured(t.deadVolumeM3, 1e-5),
    valve: {
      conductance: measured(t.conductance, 1.6e-8),
      criticalRatio: measured(t.criticalRatio, 0.04),
    },
    openingS: measured(t.openingS, 0.012),
    movingMassKg: measured(t.movingMassKg, 0.003),
    angleRad: measured(t.angleRad, 0.004),
    breakawayN: measured(t.breakawayN, 4),
    slidingN: measured(t.slidingN, 6),
    viscousNsPerM: measured(t.viscousNsPerM, 1),
    rodChamber: null,
    gas: "adiabatic",
  };
}

/**
 * The push of the ram along its line, then flight with drag and lift; pitch turns evenly, as
 * slowly as in the example.
 */
function motionOf(inputs: RamInputs) {
  const push = unwrap(predictRam(inputs));
  const releaseS = OPENS_S + push.exitS;
  const [c, s] = [Math.cos(inputs.angleRad), Math.sin(inputs.angleRad)];
  const { massKg, wingAreaM2, dragCoefficient, liftCoefficient, pitchAtRestRad } = TRUE_AIRFRAME;
  const flight = {
    massKg,
    speedMPerS: push.exitSpeedMPerS,
    angleRad: inputs.angleRad,
    airDensity: 1.22,
    headwindMPerS: 0,
    dragAreaM2: dragCoefficient * wingAreaM2,
    liftAreaM2: liftCoefficient * wingAreaM2,
  };
  const turnPerM = 0.05; // rad
  return {
    releaseS,
    speed: push.exitSpeedMPerS,
    pose(timeS: number) {
      if (timeS <= releaseS) {
        const along = push.at(timeS - OPENS_S).positionM;
        return { x: c * along, y: s * along, pitch: pitchAtRestRad + turnPerM * along };
      }
      const { x, y } = flyAfterRelease(flight, [timeS - releaseS])[0]!;
      const along = inputs.strokeM;
      const pitch = pitchAtRestRad + turnPerM * (along + push.exitSpeedMPerS * (timeS - releaseS));
      return { x: c * along + x, y: s * along + y, pitch };
    },
  };
}

function pixel(place: World): Pixel {
  const [x, y] = worldToPixel(place);
  return [x / 2, y / 2];
}

function pick(chance: Chance, [x, y]: Pixel): [number, number] {
  return [x + PICK_U_PX * chance.normal(), y + PICK_U_PX * chance.normal()];
}

function handMarks(
  chance: Chance,
  frames: number,
  targets: (frame: number) => readonly [Pixel, Pixel],
): Mark[] {
  return Array.from({ length: frames }, (_, frame) => frame).flatMap((frame) =>
    targets(frame).map((at, i): Mark => {
      const [x, y] = pick(chance, at);
      return { pointId: i === 0 ? "nose" : "tail", frame, x, y, u: PICK_U_PX, by: "hand" };
    }),
  );
}

/** A clip with the airframe as a bar between its two round targets, before a plain wall with the rod. */
async function film(output: string, { frames, targets }: DrawnShot, ffmpegPath: string): Promise<void> {
  const { width, height } = SIZE;
  const wall = new Uint8Array((width * height * 3) / 2).fill(128);
  wall.fill(150, 0, width * height);
  bar(wall, pixel(TRUE_SCALE_ROD.a), pixel(TRUE_SCALE_ROD.b), 3, 90);
  await encodeFrames(
    { ffmpegPath, output, ...SIZE, rateHz: PLAYBACK_HZ, frames },
    (frame, into) => {
      into.set(wall);
      const [nose, tail] = targets(frame);
      bar(into, nose, tail, 8, 210);
      for (const at of [nose, tail]) bar(into, at, at, TARGET_RADIUS_PX, 30);
    },
    () => {},
  );
}

/** Everything within a radius of a line from a to b, its edge shaded by how much of a pixel it covers. */
function bar(into: Uint8Array, a: Pixel, b: Pixel, radius: number, level: number): void {
  const { width, height } = SIZE;
  const [dx, dy] = [b[0] - a[0], b[1] - a[1]];
  const square = dx * dx + dy * dy;
  const from = (k: 0 | 1) => Math.max(0, Math.floor(Math.min(a[k], b[k]) - radius - 1));
  const to = (k: 0 | 1, most: number) => Math.min(most - 1, Math.ceil(Math.max(a[k], b[k]) + radius + 1));
  for (let row = from(1); row <= to(1, height); row++) {
    for (let column = from(0); column <= to(0, width); column++) {
      const [x, y] = [column + 0.5 - a[0], row + 0.5 - a[1]];
      const along = square === 0 ? 0 : Math.min(1, Math.max(0, (x * dx + y * dy) / square));
      const cover = Math.min(1, Math.max(0, radius + 0.5 - Math.hypot(x - along * dx, y - along * dy)));
      const at = row * width + column;
      into[at] = Math.round(into[at]! + cover * (level - into[at]!));
    }
  }
}
