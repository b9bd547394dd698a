import { DEGREE } from "../../shared/quantity/angle.ts";
import { latticeChance } from "./draw-texture.ts";
import {
  PICTURE,
  type Pixel,
  pixelToWorld,
  TRUE_CAMERA,
  TRUE_SCALE_ROD,
  worldToPixel,
} from "./example-scene.ts";
import { type ExampleVariant, hasFault } from "./example-variant.ts";

/**
 * The cameras of the example's variants: from the flat picture of the flight plane (what worldToPixel gives)
 * to the pixel that is seen, and from a frame to its time. Flat -> view (turned flight plane) -> shake ->
 * lens. Written apart from the rooms that undo these, so that a slip in one of them cannot hide in the other.
 */

/**
 * Brown's radial lens: seen = c + (p - c)(1 + k1 r² + k2 r⁴), r = |p - c| / focalPx. Its
 * focalPx only scales k1 and k2.
 */
export const TRUE_LENS = { focalPx: 1900, centre: [966, 535], k1: -0.12, k2: 0.03 } as const;

/**
 * The flight plane of the turned variants, about the vertical through the middle of the scale
 * board, which faces the camera.
 */
export const TRUE_TURN = { turnRad: (15 * Math.PI) / 180, distanceM: 9 } as const;

/** s, from the reading of the top row to that of the bottom row. */
export const TRUE_READOUT_S = 0.006;

/** Ticks of 1/90000 s: how the irregular variants' file counts time. */
export const TICKS_PER_S = 90_000;

const REPEAT_EVERY = 7;
const LOST = 0.06; // share of the irregular variants' frames that the camera lost
const JITTER = 0.5; // of the interval, from the earliest to the latest
const SHAKE_PX = 3;
const SHAKE_TURN_RAD = 1e-3;
const SHAKE_ZOOM = 1e-3;
/** The swing of the pan: how far, rad to the right and up, and when it begins and ends, s of clip time. */
const PAN = { rightRad: 9 * DEGREE, upRad: 2.5 * DEGREE, fromS: 0.02, toS: 0.19, focalPx: 1900 } as const;

export interface ExampleCamera {
  readonly frames: number;
  /** s, top row to bottom row; 0 when all rows are exposed at once. */
  readonly readoutS: number;
  /** Timestamps of the file, ticks; null when it plays at a constant rate. */
  readonly ticks: readonly number[] | null;
  /** Frames that show the one before them again. */
  readonly repeated: readonly number[];
  /** Whether `seen` moves pixels at all. */
  readonly bends: boolean;
  /** The frame whose picture a frame shows. */
  shows(frame: number): number;
  /**
   * s of clip time, when the file says that a frame was taken: the middle of its exposure, at the middle row.
   */
  stampOf(frame: number): number;
  /** s of clip time, when the picture that a frame shows was taken; straight between whole frames. */
  timeOf(frame: number): number;
  /** s, how much later than the middle row a row is exposed; `y` px from the top of the seen picture. */
  lagOf(y: number): number;
  /**
   * From the flat picture of the flight plane to the picture of a pinhole camera;
   * null when they are the same.
   */
  readonly view: ((flat: Pixel) => Pixel) | null;
  /** Where a place of the pinhole camera's picture is seen in a frame taken at a time. */
  seen(ideal: Pixel, timeS: number): Pixel;
  /** The inverse of `seen` for a perfect lens: takes the shake out. */
  steadied(shaken: Pixel, timeS: number): Pixel;
  /** The inverse of `seen` for a still camera: takes the lens out. */
  straightened(seen: Pixel): Pixel;
}

const made = new Map<ExampleVariant, ExampleCamera>();

/** The camera of a variant. */
export function exampleCamera(variant: ExampleVariant): ExampleCamera {
  const camera = made.get(variant) ?? makeCamera(variant);
  made.set(variant, camera);
  return camera;
}

function makeCamera(variant: ExampleVariant): ExampleCamera {
  const has = (fault: Parameters<typeof hasFault>[1]) => hasFault(variant, fault);
  const ticks = has("irregular") ? irregularTicks() : null;
  const frames = ticks?.length ?? TRUE_CAMERA.frames;
  const repeated = has("repeats")
    ? Array.from({ length: frames }, (_, k) => k).filter((k) => k % REPEAT_EVERY === REPEAT_EVERY - 1)
    : [];
  const again = new Set(repeated);
  const shows = (frame: number) => (again.has(frame) ? frame - 1 : frame);
  const stampOf = (frame: number) =>
    ticks === null ? frame / TRUE_CAMERA.captureRateHz : ticks[frame] / TICKS_PER_S;
  const readoutS = has("shutter") ? TRUE_READOUT_S : 0;
  const [lens, shake, pan] = [has("lens"), has("shake") || has("hand"), has("pan")];
  const axis: Pixel = lens ? TRUE_LENS.centre : [PICTURE.width / 2, PICTURE.height / 2];
  return {
    frames,
    readoutS,
    ticks,
    repeated,
    bends: lens || shake || pan,
    shows,
    stampOf,
    timeOf(frame) {
      if (ticks === null && repeated.length === 0) return frame / TRUE_CAMERA.captureRateHz;
      const whole = Math.floor(frame);
      const from = stampOf(shows(whole));
      return whole === frame ? from : from + (frame - whole) * (stampOf(shows(whole + 1)) - from);
    },
    lagOf: (y) => (y / PICTURE.height - 0.5) * readoutS,
    view: has("turned") ? (flat) => turned(flat, axis) : null,
    seen(ideal, timeS) {
      const swung = pan ? swungBy(ideal, timeS) : ideal;
      const shaken = shake ? shakenBy(swung, timeS) : swung;
      return lens ? bent(shaken) : shaken;
    },
    steadied(seen, timeS) {
      const swung = shake ? steadiedBy(seen, timeS) : seen;
      return pan ? unswungBy(swung, timeS) : swung;
    },
    straightened: (seen) => (lens ? unbent(seen) : seen),
  };
}

/**
 * Where something on the flight plane, given by its flat pixel, is seen when it is in motion: at
 * the time of its own row.
 */
export function seenInMotion(camera: ExampleCamera, frame: number, flatAt: (timeS: number) => Pixel): Pixel {
  const middle = camera.timeOf(frame);
  const at = (lagS: number): Pixel => {
    const flat = flatAt(middle + lagS);
    return camera.seen(camera.view === null ? flat : camera.view(flat), middle);
  };
  let pixel = at(0);
  if (camera.readoutS === 0) return pixel;
  // The row moves by some hundredths of a row for each row of lag: each round gains more than a digit.
  for (let round = 0; round < 20; round++) pixel = at(camera.lagOf(pixel[1]));
  return pixel;
}

/**
 * Times of about 960 frames a second, each early or late by up to a quarter of the interval, one
 * in sixteen or so missing.
 */
function irregularTicks(): readonly number[] {
  const interval = TICKS_PER_S / TRUE_CAMERA.captureRateHz;
  const ticks = [0];
  for (let k = 1; k < TRUE_CAMERA.frames; k++) {
    if (latticeChance(k, 501) < LOST) continue;
    ticks.push(Math.round((k + JITTER * (latticeChance(k, 502) - 0.5)) * interval));
  }
  return ticks;
}

/**
 * Pinhole view of the turned plane: with c along the plane from its pivot at x0, X = Z (x0 + c cos phi)/(Z +
 * c sin phi), Y = Z y/(Z + c sin phi), metres from the optical axis at the pivot's distance Z.
 */
function turned(flat: Pixel, axis: Pixel): Pixel {
  const { turnRad, distanceM: z } = TRUE_TURN;
  const { a, b } = TRUE_SCALE_ROD;
  const centre = pixelToWorld(axis);
  const [x, y] = pixelToWorld(flat);
  const along = x - (a[0] + b[0]) / 2;
  const from = (a[0] + b[0]) / 2 - centre[0];
  const nearness = z / (z + along * Math.sin(turnRad));
  return worldToPixel([
    centre[0] + nearness * (from + along * Math.cos(turnRad)),
    centre[1] + nearness * (y - centre[1]),
  ]);
}

function bent([x, y]: Pixel): Pixel {
  const { focalPx, centre, k1, k2 } = TRUE_LENS;
  const [dx, dy] = [x - centre[0], y - centre[1]];
  const r2 = (dx * dx + dy * dy) / focalPx ** 2;
  const grow = 1 + r2 * (k1 + r2 * k2);
  return [centre[0] + grow * dx, centre[1] + grow * dy];
}

/** Solves r (1 + k1 r² + k2 r⁴) = r_seen by Newton's method. */
function unbent([x, y]: Pixel): Pixel {
  const { focalPx, centre, k1, k2 } = TRUE_LENS;
  const [dx, dy] = [x - centre[0], y - centre[1]];
  const seen = Math.hypot(dx, dy) / focalPx;
  if (seen === 0) return [x, y];
  let r = seen;
  for (let round = 0; round < 8; round++) {
    const r2 = r * r;
    r -= (r * (1 + r2 * (k1 + r2 * k2)) - seen) / (1 + r2 * (3 * k1 + r2 * 5 * k2));
  }
  return [centre[0] + (dx * r) / seen, centre[1] + (dy * r) / seen];
}

interface Similarity {
  readonly dx: number;
  readonly dy: number;
  readonly turnRad: number;
  readonly zoom: number;
}

let latest: { readonly timeS: number; readonly shake: Similarity } | null = null;

/** How a hand moves the picture; the latest is kept, since a whole picture is asked for pixel by pixel. */
function shakeAt(timeS: number): Similarity {
  if (latest?.timeS !== timeS) latest = { timeS, shake: handAt(timeS) };
  return latest.shake;
}

/**
 * Shift in px, and turn and zoom about the picture's middle. The hand is taken to hold still
 * while one frame is read.
 */
function handAt(timeS: number): Similarity {
  const wave = (hz: number, phase: number) => Math.sin(2 * Math.PI * hz * timeS + phase);
  return {
    dx: SHAKE_PX * (0.65 * wave(7, 0.4) + 0.35 * wave(19, 2.1)),
    dy: SHAKE_PX * (0.65 * wave(9, 1.7) + 0.35 * wave(16, 4)),
    turnRad: SHAKE_TURN_RAD * wave(8, 5.2),
    zoom: 1 + SHAKE_ZOOM * wave(6, 3.3),
  };
}

const MIDDLE: Pixel = [PICTURE.width / 2, PICTURE.height / 2];

function shakenBy([x, y]: Pixel, timeS: number): Pixel {
  const { dx, dy, turnRad, zoom } = shakeAt(timeS);
  const [c, s] = [zoom * Math.cos(turnRad), zoom * Math.sin(turnRad)];
  const [u, v] = [x - MIDDLE[0], y - MIDDLE[1]];
  return [MIDDLE[0] + dx + c * u - s * v, MIDDLE[1] + dy + s * u + c * v];
}

/** How far the camera of the pan has swung, rad to the right and up: it sets off and comes to rest gently. */
function swingAt(timeS: number): readonly [right: number, up: number] {
  const part = Math.min(1, Math.max(0, (timeS - PAN.fromS) / (PAN.toS - PAN.fromS)));
  const smooth = part * part * (3 - 2 * part);
  return [PAN.rightRad * smooth, PAN.upRad * smooth];
}

/** Where a camera that has turned about its centre, to the right and then up, sees a place. */
function swungBy([x, y]: Pixel, timeS: number): Pixel {
  const [right, up] = swingAt(timeS);
  const f = PAN.focalPx;
  const [u, v] = [x - MIDDLE[0], y - MIDDLE[1]];
  const [across, along] = turnedBy(u, f, right);
  const [down, ahead] = turnedBy(v, along, -up);
  return [MIDDLE[0] + (f * across) / ahead, MIDDLE[1] + (f * down) / ahead];
}

function unswungBy([x, y]: Pixel, timeS: number): Pixel {
  const [right, up] = swingAt(timeS);
  const f = PAN.focalPx;
  const [down, along] = turnedBy(y - MIDDLE[1], f, up);
  const [across, ahead] = turnedBy(x - MIDDLE[0], along, -right);
  return [MIDDLE[0] + (f * across) / ahead, MIDDLE[1] + (f * down) / ahead];
}

/** A direction seen from a camera that has turned towards its first coordinate. */
function turnedBy(side: number, ahead: number, rad: number): readonly [number, number] {
  const [c, s] = [Math.cos(rad), Math.sin(rad)];
  return [c * side - s * ahead, s * side + c * ahead];
}

function steadiedBy([x, y]: Pixel, timeS: number): Pixel {
  const { dx, dy, turnRad, zoom } = shakeAt(timeS);
  const [c, s] = [Math.cos(turnRad) / zoom, Math.sin(turnRad) / zoom];
  const [u, v] = [x - MIDDLE[0] - dx, y - MIDDLE[1] - dy];
  return [MIDDLE[0] + c * u + s * v, MIDDLE[1] - s * u + c * v];
}
