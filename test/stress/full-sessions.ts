import type { Measured } from "../../src/shared/quantity/measured.ts";
import type { ClipFacts } from "../../src/shared/session/clip-facts.ts";
import type {
  Airframe,
  ElasticLauncher,
  Launcher,
  Mark,
  NextShot,
  RamLauncher,
  RocketLauncher,
  Session,
  Shot,
  Tuning,
} from "../../src/shared/session/schema.ts";
import { firstOf, oneOfEach } from "../support/one-of-each.ts";
import { shotsField } from "../support/shots-field.ts";

/*
 * One session of each kind of launcher with every optional field present, so that a sweep over all
 * numbers of a document reaches every number that a document can hold. Marks are those of a ram's shots
 * at half the example's rate, every third frame: the least that still measures well. All other numbers
 * are invented and unequal.
 */

const KEEP_EVERY = 3; // frames
const FRAMES = 140;
const PLAYBACK_HZ = 30;

export type LauncherKind = Launcher["kind"];

export const LAUNCHER_KINDS: readonly LauncherKind[] = [
  "compressed-air-ram",
  "rocket-boost",
  "elastic-line",
  "no-model",
];

/** What an inspection of the clip of any full session finds. */
export const FULL_FACTS: ClipFacts = {
  name: "clip.mp4",
  bytes: 1,
  modifiedMs: 0,
  container: "mov,mp4",
  codec: "h264",
  pixelFormat: "yuv420p",
  bitDepth: 8,
  codedWidth: 960,
  codedHeight: 540,
  pixelAspect: [1, 1],
  rotationDeg: 0,
  width: 960,
  height: 540,
  durationS: FRAMES / PLAYBACK_HZ,
  playbackRateHz: PLAYBACK_HZ,
  captureRateHz: null,
  constantRate: true,
  timeBase: [1, PLAYBACK_HZ],
  pts: Array.from({ length: FRAMES }, (_, frame) => frame),
  keyFrames: [0],
  startS: 0,
};

/** A session of the kind with every optional field of document, launcher, camera and shots present. */
export function fullSession(kind: LauncherKind): Session {
  const made = shotsField(11, [3.4e5, 3.6e5]).session;
  const [first, second] = made.shots.map(thinned) as [Shot, Shot];
  const base: Session = oneOfEach({
    ...made,
    title: `Full ${kind}`,
    points: [
      {
        id: "nose",
        name: "nose",
        on: "airframe",
        airframeId: "airframe-1",
        body: { forwardM: m(0.21, 0.001), upM: m(0.004, 0.001) },
      },
      {
        id: "tail",
        name: "tail",
        on: "airframe",
        airframeId: "airframe-1",
        body: { forwardM: m(-0.33, 0.001), upM: m(0.003, 0.001) },
      },
      { id: "post-a", name: "left post", on: "post", airframeId: null, body: null },
      { id: "post-b", name: "right post", on: "post", airframeId: null, body: null },
      { id: "ball", name: "steel ball", on: "dropped", airframeId: null, body: null },
      { id: "tip", name: "rod tip", on: "rod", airframeId: null, body: null },
    ],
    airframe: fullAirframe(firstOf(made).airframe),
    launcher: fullLauncher(kind, firstOf(made).launcher as RamLauncher),
    cameras: [fullCamera(made)],
    site: { latitudeRad: 0.91, heightM: 212 },
    shots: [measuredByRods(first), measuredByPoints(second)],
  });
  const tuning = fullTuning(kind);
  return oneOfEach({ ...base, ...(tuning && { tuning }), nextShot: nextShotOf(kind) });
}

function thinned(shot: Shot): Shot {
  return { ...shot, marks: shot.marks.filter(({ frame }) => frame % KEEP_EVERY === 0 && frame < FRAMES) };
}

function fullAirframe(airframe: Airframe): Airframe {
  return {
    ...airframe,
    pitchInertiaKgM2: m(0.0121, 0.0004),
    wingAreaM2: m(0.142, 0.002),
    liftCoefficientMax: m(1.15, 0.08),
    loadLimitG: m(32, 3),
    dragAreaM2: m(0.0061, 0.0008),
    liftSlopePerRad: m(4.6, 0.3),
    meanChordM: m(0.14, 0.003),
    yawInertiaKgM2: m(0.0175, 0.0009),
    bodyDiameterM: m(0.062, 0.001),
    pressureBehindM: m(0.114, 0.012),
  };
}

function fullCamera({ cameras }: Session): Session["cameras"][number] {
  const u = [0, 2, 2, 0.002, 0.004, 0.001, 1e-4, 2e-4];
  return {
    ...cameras[0]!,
    readoutS: m(0.0004, 0.00005),
    lens: {
      focalPx: 900,
      centrePx: [478, 272],
      picturePx: [960, 540],
      k1: -0.004,
      k2: 0.002,
      k3: 0.0004,
      p1: 0.0002,
      p2: -0.0001,
      covariance: Array.from({ length: 64 }, (_, i) => (i % 9 === 0 ? u[i / 9]! ** 2 : 0)),
      madeFrom: { by: "lines", leftPx: 0.19, points: 140 },
    },
  };
}

const CONDITIONS = {
  crosswindMPerS: { value: -1.3, u: 0.6 },
  gustMPerS: { value: 2.4, u: 0.9 },
  releaseHeightM: { value: 1.6, u: 0.1 },
  clearM: { value: 140, u: 5 },
  tankTemperatureK: { value: 296, u: 2 },
};

/** Rods, plumb, level and setting; a lamp; posts in every frame; release found. */
function measuredByRods(shot: Shot): Shot {
  const scale = shot.scale!;
  const { top, bottom } = shot.plumb!;
  const frames = [...new Set(shot.marks.map(({ frame }) => frame))];
  return {
    ...shot,
    conditions: { ...shot.conditions, ...CONDITIONS },
    clock: {
      ...shot.clock!,
      ...{ useChecks: true, repeats: { frames: [130, 133], kind: "stale" as const } },
      ...{
        gaps: [
          { afterFrame: 134, missing: 1 },
          { afterFrame: 136, missing: 2 },
        ],
      },
    } as Shot["clock"],
    scale: { ...scale, aFrame: 0, bFrame: 3 },
    rods: [{ ...scale, a: [scale.a[0] + 1, scale.a[1] - 60], b: [scale.b[0] + 1, scale.b[1] - 60] }],
    plumb: { ...shot.plumb!, topFrame: 0, bottomFrame: 0 },
    level: {
      left: [300, 400],
      right: [300 + (bottom[1] - top[1]), 400 - (bottom[0] - top[0])],
      leftFrame: 0,
      rightFrame: 3,
      uPx: 0.5,
      tiltRad: 0.002,
    },
    setting: { distanceM: m(6.5, 0.05), nearerM: m(0.02, 0.01), turnRad: m(0.01, 0.008) },
    lamp: { intervalS: m(0.025, 1e-6), frames: [4, 16, 28, 40, 52, 64, 76, 88] },
    altimeter: { apogeeM: m(9.2, 0.3), assumes: "standard" },
    marks: inOrder([
      ...shot.marks,
      ...frames.flatMap((frame) => [post("post-a", frame, 80.2, 470.4), post("post-b", frame, 870.6, 480.1)]),
    ]),
  };
}

/** Known points of the plane, a dropped ball, the file's timestamps; release seen by the person. */
function measuredByPoints(shot: Shot): Shot {
  const scale = shot.scale!;
  const perM = (scale.b[0] - scale.a[0]) / scale.rodM.value;
  const corners = [
    [0, 0],
    [2, 0.05],
    [1.9, 1.1],
    [0.1, 1],
    [1, 0.5],
  ] as const;
  return {
    ...shot,
    conditions: { ...shot.conditions, ...CONDITIONS },
    clock: {
      kind: "timestamps",
      rateError: m(0, 2e-4),
      repeats: { frames: [130, 133], kind: "inserted" },
    },
    control: {
      uPx: 0.4,
      uM: 0.001,
      points: corners.map(([xM, yM]) => ({
        at: [120 + perM * xM, 480 - perM * yM] as [number, number],
        frame: 0,
        xM,
        yM,
      })),
    },
    ball: { massKg: m(0.067, 0.001), diameterM: m(0.025, 0.0001), dragCoefficient: m(0.5, 0.05) },
    release: { by: "person", frame: 78.5, uFrames: 1.5 },
    altimeter: { apogeeM: m(8.7, 0.3), assumes: "day" },
    marks: inOrder([
      ...shot.marks,
      ...Array.from({ length: 14 }, (_, i): Mark => {
        const fallen = (9.81 * (i / 48) ** 2) / 2;
        const at = { x: 700.5 + 0.1 * Math.sin(7 * i), y: 60 + perM * fallen + 0.1 * Math.cos(5 * i) };
        return { pointId: "ball", frame: 2 * i, ...at, u: 0.4, by: "follower" };
      }),
    ]),
  };
}

function post(pointId: string, frame: number, x: number, y: number): Mark {
  const shaken = 0.3 * Math.sin(frame / 9);
  return { pointId, frame, x: x + shaken, y: y - shaken / 2, u: 0.5, by: "hand" };
}

function inOrder(marks: readonly Mark[]): Mark[] {
  return [...marks].sort((a, b) => a.frame - b.frame || (a.pointId < b.pointId ? -1 : 1));
}

function fullLauncher(kind: LauncherKind, ram: RamLauncher): Launcher {
  switch (kind) {
    case "compressed-air-ram":
      return fullRam(ram);
    case "rocket-boost":
      return fullRocket();
    case "elastic-line":
      return fullElastic();
    case "no-model":
      return { kind, name: "thrown by hand" };
  }
}

function fullRam(ram: RamLauncher): RamLauncher {
  return {
    ...ram,
    rodChamber: {
      rodDiameterM: m(0.012, 0.0001),
      volumeM3: m(4e-5, 5e-6),
      vent: { conductance: m(8e-8, 8e-9), criticalRatio: m(0.4, 0.05) },
    },
    ratingShare: 0.8,
    reliefPa: 9e5,
    hold: "latch",
    gas: "polytropic",
    polytropicExponent: m(1.25, 0.05),
    openingCurve: [
      [0, 0.01],
      [0.45, 0.2],
      [0.7, 0.85],
      [1, 1],
    ],
    moreValves: [
      {
        valve: { conductance: m(4e-8, 5e-9), criticalRatio: m(0.28, 0.05) },
        openingS: m(0.02, 0.005),
        delayS: m(0.01, 0.002),
      },
    ],
    leak: m(4e-10, 2e-10),
    sealShare: m(0.04, 0.01),
    stribeckMPerS: m(0.3, 0.1),
    supplyGaugePa: m(3.3e5, 1e4),
    feedConductance: m(3e-8, 5e-9),
    pushBelowM: m(0.0031, 0.0009),
    cradleStiffness: m(310, 40),
    cradleDamping: m(0.41, 0.08),
    lastSupportM: m(0.13, 0.01),
    lastSupportBehindM: m(0.06, 0.005),
    endStop: { bufferTravelM: m(0.02, 0.002), ratedLoadN: 9000 },
    baseRatedLoadN: 2500,
    fill: {
      by: "hand-pump",
      strokeVolumeM3: m(4.2e-4, 1e-5),
      clearanceM3: m(1.5e-5, 3e-6),
      strokesPerS: m(0.7, 0.1),
    },
  };
}

function fullRocket(): RocketLauncher {
  return {
    kind: "rocket-boost",
    name: "Twin cradle",
    angleRad: m(0.41, 0.004),
    railM: m(1.05, 0.003),
    slidingN: m(2.1, 0.8),
    turnsOnCradle: true,
    boosterKg: m(0.041, 0.001),
    motors: [
      {
        ...motor("left", -0.1),
        thrust: {
          by: "curve",
          points: [
            [0, 0],
            [0.05, 30],
            [0.2, 46],
            [0.5, 33],
            [0.8, 30],
            [0.9, 0],
          ],
        },
      },
      {
        ...motor("right", 0.11),
        thrust: {
          by: "trapezoid",
          totalImpulseNs: m(28, 1),
          meanThrustN: m(31, 1.5),
          riseS: m(0.04, 0.01),
          fallS: m(0.09, 0.02),
        },
      },
    ],
  };
}

function motor(id: string, rightM: number): Omit<RocketLauncher["motors"][number], "thrust"> {
  return {
    id,
    name: id,
    thrustScale: m(1, 0.04),
    propellantKg: m(0.021, 0.001),
    aheadM: m(-0.2, 0.002),
    aboveM: m(-0.006, 0.001),
    rightM: m(rightM, 0.001),
    tiltUpRad: m(0.004, 0.003),
    tiltRightRad: m(-0.002, 0.003),
    delayS: m(0.006, 0.004),
    lit: true,
    ejectionS: m(2.5, 0.5),
  };
}

function fullElastic(): ElasticLauncher {
  return {
    kind: "elastic-line",
    name: "Withy line",
    angleRad: m(0.41, 0.004),
    drawM: m(2.4, 0.01),
    loading: [
      [0, 0],
      [1, 28],
      [2, 44],
      [3, 60],
    ],
    unloading: [
      [0, 0],
      [1, 22],
      [2, 37],
      [3, 60],
    ],
    forceScale: m(1, 0.05),
    lines: 2,
    lineMassKg: m(0.06, 0.002),
    carriageKg: m(0.05, 0.002),
    slidingN: m(3, 1),
    freeLengthM: m(0.9, 0.01),
    stretchLimit: 3.5,
    anchorRatedLoadN: 900,
    endStop: { bufferTravelM: m(0.05, 0.004), ratedLoadN: 4000 },
  };
}

const TUNED: Readonly<
  Record<Exclude<LauncherKind, "no-model">, readonly [string, Measured, string, Measured]>
> = {
  "compressed-air-ram": ["valve.conductance", m(1.45e-7, 6e-9), "slidingN", m(17.5, 3)],
  "rocket-boost": ["motors.0.thrustScale", m(1.01, 0.02), "slidingN", m(2.2, 0.7)],
  "elastic-line": ["forceScale", m(0.98, 0.02), "slidingN", m(3.2, 0.9)],
};

/** Another answer for a value, as far off as it is sure. */
const otherwise = ({ value, u }: Measured): Measured => ({ value: value + u, u });

function fullTuning(kind: LauncherKind): Tuning | null {
  if (kind === "no-model") return null;
  const [path, value, other, otherValue] = TUNED[kind];
  return {
    parameters: [path],
    shotIds: ["shot-1"],
    heldOutShotIds: ["shot-2"],
    tuned: {
      values: [value],
      others: [{ path: other, value: otherValue, moved: true }],
      correlation: [
        [1, 0.6],
        [0.6, 1],
      ],
      undetermined: [],
      scatter: 0.006,
      shotCount: 1,
      rivals: [{ values: [otherwise(value), otherValue] }],
    },
    use: true,
  };
}

function nextShotOf(kind: LauncherKind): NextShot {
  const choose = { "rocket-boost": "motor", "elastic-line": "draw" } as const;
  return {
    speedMPerS: m(13, 0.3),
    choose: kind === "rocket-boost" || kind === "elastic-line" ? choose[kind] : "pressure",
    leastStallMargin: 1.3,
  };
}

function m(value: number, u: number): Measured {
  return { value, u };
}
