import type { RamInputs } from "../../shared/launch/ram/ram-inputs.ts";
import { DEGREE } from "../../shared/quantity/angle.ts";

/**
 * The true numbers of the example launch: an invented airframe, launcher, field and camera. Everything here
 * is what "really" happened; the example session holds what its builder believes, near these numbers but not
 * equal to them. World: the flight plane, metres, x to the right, y up along true vertical, origin at the
 * centre of gravity at rest.
 */

export type World = readonly [x: number, y: number];
export type Pixel = readonly [x: number, y: number];

/** Position of the centre of gravity in the world, m, and pitch, rad. */
export interface Pose {
  readonly x: number;
  readonly y: number;
  readonly pitch: number;
}

export const PICTURE = { width: 1920, height: 1080 } as const;

/** The camera took 960 frames a second and stored them at 30; frame k is exposed centred on k / 960 s. */
export const TRUE_CAMERA = {
  captureRateHz: 960,
  playbackRateHz: 30,
  exposureS: 1 / 4000,
  metresPerPx: 1.4187e-3,
  /** rad, the picture shows true vertical leaning to the right by this. */
  rollRad: 0.6 * DEGREE,
  /** px, where the world origin falls. */
  origin: [685.3, 578.6],
  frames: 178,
} as const;

/** Airframe as weighed on perfect scales. Body places: [forward, up] in metres from the centre of gravity. */
export const TRUE_AIRFRAME = {
  massKg: 0.66,
  pitchInertiaKgM2: 0.0118,
  wingAreaM2: 0.142,
  dragCoefficient: 0.09,
  liftCoefficient: 0.34,
  targets: { nose: [0.135, -0.006], tail: [-0.235, -0.006] },
  /** rad, pitch on the cradle. */
  pitchAtRestRad: 22.1 * DEGREE,
  /** s, time constant of the aerodynamic damping of the pitch rate in free flight. */
  pitchDampingS: 0.5,
} as const;

export type TargetId = keyof typeof TRUE_AIRFRAME.targets;

/** m, how far the push line passes below the centre of gravity: the push turns the nose up. */
export const PUSH_OFFSET_M = 0.85e-3;

const MOVING_MASS_KG = 0.6; // piston, rod and fork

/** What the launcher truly is on this day, as the model wants it. */
export const TRUE_RAM: RamInputs = {
  tankVolumeM3: 3.6e-3,
  gaugePressurePa: 3.5e5,
  airPressurePa: 100_900,
  temperatureK: 287.6,
  boreM: 0.036,
  strokeM: 0.78,
  deadVolumeM3: 1.5e-4,
  valve: { conductance: 1.45e-7, criticalRatio: 0.3 },
  openingS: 0.055,
  totalMassKg: TRUE_AIRFRAME.massKg + MOVING_MASS_KG,
  angleRad: 23.4 * DEGREE,
  breakawayN: 30,
  slidingN: 22,
  viscousNsPerM: 6,
  rodChamber: null,
  gas: "adiabatic",
};

/** s, clip time at which the valve starts to open; motion follows a few milliseconds later. */
export const VALVE_OPENS_CLIP_S = 0.0175;

/** Things standing in the flight plane that a person measures by, metres in the world. */
export const TRUE_ROD_M = 1;
const ROD_TILT_RAD = 0.0138; // the board is set up by eye
export const TRUE_SCALE_ROD: { readonly a: World; readonly b: World } = {
  a: [0.452, -0.404],
  b: [0.452 + TRUE_ROD_M * Math.cos(ROD_TILT_RAD), -0.404 + TRUE_ROD_M * Math.sin(ROD_TILT_RAD)],
};
export const TRUE_PLUMB: { readonly top: World; readonly bottom: World } = {
  top: [-0.655, 0.675],
  bottom: [-0.655, 0.012],
};

/**
 * Targets on posts that stand still behind and beside the flight, where a shaken camera's variant has them.
 */
export const TRUE_POSTS = {
  "post-left": [-0.9, -0.06],
  "post-middle": [0.26, -0.27],
  "post-right": [1.6, -0.14],
} as const satisfies Readonly<Record<string, World>>;

export type PostId = keyof typeof TRUE_POSTS;

/**
 * The pixel of a place in the flight plane: a similarity with the camera's roll; (0, 0) is the top left
 * corner of the top left pixel. No lens distortion, square pixels.
 */
export function worldToPixel([x, y]: World): Pixel {
  const { rollRad, metresPerPx, origin } = TRUE_CAMERA;
  const [c, s] = [Math.cos(rollRad) / metresPerPx, Math.sin(rollRad) / metresPerPx];
  return [origin[0] + c * x + s * y, origin[1] + s * x - c * y];
}

/** The inverse of worldToPixel. */
export function pixelToWorld([x, y]: Pixel): World {
  const { rollRad, metresPerPx, origin } = TRUE_CAMERA;
  const [c, s] = [Math.cos(rollRad) * metresPerPx, Math.sin(rollRad) * metresPerPx];
  const [dx, dy] = [x - origin[0], y - origin[1]];
  return [c * dx + s * dy, s * dx - c * dy];
}

/** The place in the world of a point of the airframe given in body coordinates, for a pose. */
export function bodyToWorld(pose: Pose, [forward, up]: readonly [number, number]): World {
  const [c, s] = [Math.cos(pose.pitch), Math.sin(pose.pitch)];
  return [pose.x + c * forward - s * up, pose.y + s * forward + c * up];
}

/**
 * The place in the world of a point given along the push line and above it, metres from the
 * centre of gravity at rest.
 */
export function rampToWorld([along, above]: readonly [number, number]): World {
  const [c, s] = [Math.cos(TRUE_RAM.angleRad), Math.sin(TRUE_RAM.angleRad)];
  return [c * along - s * above, s * along + c * above];
}
