import type { Chance } from "../../shared/quantity/chance.ts";
import type { Measured } from "../../shared/quantity/measured.ts";
import {
  type Clock,
  type LensData,
  type Mark,
  type Point,
  type RamLauncher,
  SESSION_FORMAT,
  SESSION_VERSION,
  type Session,
  type Setting,
} from "../../shared/session/schema.ts";
import { type ExampleCamera, exampleCamera, TRUE_LENS, TRUE_READOUT_S, TRUE_TURN } from "./example-camera.ts";
import { exampleChance } from "./example-chance.ts";
import { exampleMotion, examplePixel } from "./example-motion.ts";
import {
  PICTURE,
  type Pixel,
  type PostId,
  type TargetId,
  TRUE_AIRFRAME,
  TRUE_CAMERA,
  TRUE_PLUMB,
  TRUE_POSTS,
  TRUE_RAM,
  TRUE_ROD_M,
  TRUE_SCALE_ROD,
  worldToPixel,
} from "./example-scene.ts";
import { EXAMPLE_SHOT_ID } from "./example-truth.ts";
import { type ExampleVariant, hasFault } from "./example-variant.ts";

export const EXAMPLE_CLIP = "brindle-shot-1.mp4";

const PICK_U_PX = 0.4; // how well a hand places a mark on a picture like this
const HANG_U_RAD = 0.0005; // a light bob in light wind
const READOUT_U_S = 1e-4; // a shutter timed against a blinking lamp
const FILE_CLOCK_U = 2e-4; // relative; far more than a quartz clock errs
const TURN_U_RAD = (0.5 * Math.PI) / 180; // paced out along a string
const SKIPPED = 0.03; // share of the marks the person left out
const FRAMES_BEFORE = 20; // before first motion
const FRAMES_AFTER = 50; // after release

/**
 * The session of the example as a builder would have left it: every pick and every tape measure is the
 * truth plus a seeded error of its stated standard uncertainty. The launcher's inputs do not depend on the
 * seed: they are what its builder believes, most within their uncertainty, with a valve said to pass 8 %
 * more and friction said to be less than true. Where the camera shakes, scale and plumb are picked in the
 * first frame that is marked.
 * @param seed the same seed gives the same session; another changes every pick, length and rate in it
 * @param variant how the launch was filmed, and so what the builder had to find out about the camera
 */
export function exampleSession(seed: number, variant: ExampleVariant = "plain"): Session {
  const chance = exampleChance(seed, "session");
  const ofVariant = exampleChance(seed, "variant");
  const camera = exampleCamera(variant);
  const frames = markedFrames(camera);
  const still = (place: Pixel) => camera.seen(place, camera.timeOf(frames[0]));
  const alongM = measured(chance, TRUE_AIRFRAME.targets.nose[0], 0.001);
  const aboveM = measured(chance, -TRUE_AIRFRAME.targets.nose[1], 0.001);
  const apartM = measured(chance, TRUE_AIRFRAME.targets.nose[0] - TRUE_AIRFRAME.targets.tail[0], 0.0005);
  const captureRateHz = measured(chance, TRUE_CAMERA.captureRateHz, 0.5, 2);
  const rodM = measured(chance, TRUE_ROD_M, 0.0005);
  const [a, b] = [
    pick(chance, still(worldToPixel(TRUE_SCALE_ROD.a))),
    pick(chance, still(worldToPixel(TRUE_SCALE_ROD.b))),
  ];
  const plumb = plumbPicks(chance, (place) => still(camera.view?.(place) ?? place));
  const marks = handMarks(chance, frames, variant);
  const clock = clockOf(ofVariant, camera, captureRateHz);
  const lens = hasFault(variant, "lens") ? believedLens(ofVariant) : null;
  const readoutS = camera.readoutS === 0 ? null : measured(ofVariant, TRUE_READOUT_S, READOUT_U_S, 6);
  const setting = camera.view === null ? null : believedSetting(ofVariant);
  const shaken = hasFault(variant, "shake");
  const moves = hasFault(variant, "hand") || hasFault(variant, "pan");
  const pickedIn = (ends: readonly string[]) =>
    moves ? Object.fromEntries(ends.map((end) => [end, frames[0]])) : {};
  return {
    format: SESSION_FORMAT,
    version: SESSION_VERSION,
    title: "Tansy Holm, first outing of the Brindle",
    units: "SI",
    points: [
      {
        id: "nose",
        name: "nose",
        on: "airframe",
        airframeId: "brindle",
        body: { forwardM: alongM, upM: { value: -aboveM.value, u: aboveM.u } },
      },
      {
        id: "tail",
        name: "tail",
        on: "airframe",
        airframeId: "brindle",
        body: {
          forwardM: {
            value: rounded(alongM.value - apartM.value, 4),
            u: rounded(Math.hypot(alongM.u, apartM.u), 5),
          },
          upM: { value: -aboveM.value, u: aboveM.u },
        },
      },
      ...(shaken ? postPoints() : []),
    ],
    airframes: [
      {
        id: "brindle",
        name: "Brindle 2",
        massKg: { value: 0.662, u: 0.002 },
        centreOfGravity: { fromPointId: "nose", towardPointId: "tail", alongM, aboveM, apartM },
        pitchInertiaKgM2: { value: 0.0121, u: 0.0004 },
        wingAreaM2: { value: 0.142, u: 0.002 },
        liftCoefficientMax: { value: 1.15, u: 0.08 },
        loadLimitG: { value: 32, u: 3 },
      },
    ],
    launchers: [{ id: "hobnail", ...believedLauncher() }],
    cameras: [
      {
        id: "lens-a",
        name: shaken || moves ? "slow-motion phone in the hand" : "slow-motion phone on a tripod",
        captureRateHz,
        exposureS: TRUE_CAMERA.exposureS,
        ...(readoutS && { readoutS }),
        ...(lens && { lens }),
      },
    ],
    shots: [
      {
        id: EXAMPLE_SHOT_ID,
        name: "Shot 1, 3.5 bar",
        clip: EXAMPLE_CLIP,
        airframeId: "brindle",
        launcherId: "hobnail",
        cameraId: "lens-a",
        conditions: {
          gaugePressurePa: { value: 3.52e5, u: 4e3 },
          temperatureK: { value: 287.2, u: 1 },
          airPressurePa: { value: 101_000, u: 200 },
          headwindMPerS: { value: 0.4, u: 0.8 },
        },
        clock,
        scale: { a, b, ...pickedIn(["aFrame", "bFrame"]), uPx: PICK_U_PX, rodM },
        ...(setting && { setting }),
        plumb: { ...plumb, ...pickedIn(["topFrame", "bottomFrame"]), uPx: PICK_U_PX, hangRad: HANG_U_RAD },
        release: { by: "change-point" },
        direction: "right",
        marks: shaken ? [...marks, ...postMarks(ofVariant, frames, camera)] : marks,
        notes: "An invented launch, drawn by Loftmark: the true numbers are in truth.json.",
      },
    ],
  };
}

function believedLauncher(): RamLauncher {
  return {
    kind: "compressed-air-ram",
    name: "Hobnail ram",
    tankVolumeM3: { value: 3.62e-3, u: 4e-5 },
    tankMaterial: "metal",
    tankRatingPa: 8e5,
    boreM: { value: TRUE_RAM.boreM, u: 5e-5 },
    strokeM: { value: 0.781, u: 0.001 },
    deadVolumeM3: { value: 1.4e-4, u: 1.5e-5 },
    valve: {
      conductance: { value: rounded(1.08 * TRUE_RAM.valve.conductance, 10), u: 1.2e-8 },
      criticalRatio: { value: 0.32, u: 0.05 },
    },
    openingS: { value: 0.05, u: 0.01 },
    movingMassKg: { value: 0.598, u: 0.003 },
    angleRad: { value: 0.41, u: 0.004 },
    breakawayN: { value: 27, u: 5 },
    slidingN: { value: 18, u: 4 },
    viscousNsPerM: { value: 4.5, u: 1.5 },
    rodChamber: null,
    gas: "adiabatic",
  };
}

function clockOf(chance: Chance, camera: ExampleCamera, captureRateHz: Measured): Clock {
  const repeats = camera.repeated.length > 0 && {
    repeats: { frames: [...camera.repeated], kind: "stale" as const },
  };
  return camera.ticks === null
    ? { kind: "capture-rate", captureRateHz, ...repeats }
    : { kind: "timestamps", rateError: measured(chance, 0, FILE_CLOCK_U, 6), ...repeats };
}

/** A profile from straight lines: its centre and coefficients found, its unit of length chosen. */
function believedLens(chance: Chance): LensData {
  const u = [0, 3, 3, 0.002, 0.004, 0, 0, 0];
  const { focalPx, centre, k1, k2 } = TRUE_LENS;
  const about = (truth: number, term: number, places: number) =>
    measured(chance, truth, u[term], places).value;
  return {
    focalPx,
    centrePx: [about(centre[0], 1, 2), about(centre[1], 2, 2)],
    picturePx: [PICTURE.width, PICTURE.height],
    k1: about(k1, 3, 5),
    k2: about(k2, 4, 5),
    k3: 0,
    p1: 0,
    p2: 0,
    covariance: Array.from({ length: 64 }, (_, i) => (i % 9 === 0 ? u[i / 9] ** 2 : 0)),
    madeFrom: { by: "lines", leftPx: 0.21, points: 140 },
  };
}

function believedSetting(chance: Chance): Setting {
  return {
    distanceM: measured(chance, TRUE_TURN.distanceM, 0.05, 3),
    nearerM: measured(chance, 0, 0.01, 4),
    turnRad: measured(chance, TRUE_TURN.turnRad, TURN_U_RAD, 5),
  };
}

/** The frames of the launch that a person marks. */
function markedFrames(camera: ExampleCamera): readonly number[] {
  const { startS, releaseS } = exampleMotion();
  const rate = TRUE_CAMERA.captureRateHz;
  const from = Math.floor(startS * rate) - FRAMES_BEFORE;
  const to = Math.ceil(releaseS * rate) + FRAMES_AFTER;
  return Array.from({ length: camera.frames }, (_, frame) => frame).filter((frame) => {
    const at = camera.stampOf(frame) * rate;
    return at > from - 0.5 && at < to + 0.5;
  });
}

/** Marks of both targets in nearly every frame of the launch, as a hand would place them. */
function handMarks(chance: Chance, frames: readonly number[], variant: ExampleVariant): Mark[] {
  const marks: Mark[] = [];
  for (const frame of frames) {
    for (const pointId of Object.keys(TRUE_AIRFRAME.targets) as TargetId[]) {
      const [x, y] = pick(chance, examplePixel(pointId, frame, variant));
      if (chance.uniform() >= SKIPPED) marks.push({ pointId, frame, x, y, u: PICK_U_PX, by: "hand" });
    }
  }
  return marks;
}

function postPoints(): Point[] {
  return (Object.keys(TRUE_POSTS) as PostId[]).map((id) => ({
    id,
    name: id.replace(/^post-(.*)$/, "$1 post"),
    on: "post",
    airframeId: null,
    body: null,
  }));
}

function postMarks(chance: Chance, frames: readonly number[], camera: ExampleCamera): Mark[] {
  return frames.flatMap((frame) =>
    (Object.keys(TRUE_POSTS) as PostId[]).map((pointId): Mark => {
      const [x, y] = pick(chance, camera.seen(worldToPixel(TRUE_POSTS[pointId]), camera.timeOf(frame)));
      return { pointId, frame, x, y, u: PICK_U_PX, by: "hand" };
    }),
  );
}

/**
 * The line's two beads as picked, with the whole line hanging out of true by its own small
 * error about the upper bead.
 */
function plumbPicks(
  chance: Chance,
  seen: (flat: Pixel) => Pixel,
): { top: [number, number]; bottom: [number, number] } {
  const { top, bottom } = TRUE_PLUMB;
  const hang = HANG_U_RAD * chance.normal();
  const length = top[1] - bottom[1];
  const swung = [top[0] + length * Math.sin(hang), top[1] - length * Math.cos(hang)] as const;
  return { top: pick(chance, seen(worldToPixel(top))), bottom: pick(chance, seen(worldToPixel(swung))) };
}

function pick(chance: Chance, [x, y]: Pixel): [number, number] {
  return [rounded(x + PICK_U_PX * chance.normal(), 2), rounded(y + PICK_U_PX * chance.normal(), 2)];
}

/** The truth read with an error of standard deviation u, written down to the given decimal place. */
function measured(chance: Chance, truth: number, u: number, places = 5): Measured {
  return { value: rounded(truth + u * chance.normal(), places), u };
}

function rounded(x: number, places: number): number {
  return Number(x.toFixed(places));
}
