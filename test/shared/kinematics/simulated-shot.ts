import type { BodyAxis, PlaneMark } from "../../../src/shared/kinematics/body-shape.ts";
import { createChance } from "../../../src/shared/quantity/chance.ts";
import { STANDARD_GRAVITY } from "../../../src/shared/quantity/gravity.ts";

/**
 * An invented shot with closed forms, so that its truth needs no integrator: speed in the push V (1 -
 * e^(-t/tau))², a valve-like rise and decay of acceleration with its peak V/(2 tau) at tau ln 2; the pitch
 * acceleration is the push's times a constant (a push line that misses the centre of gravity); then flight
 * under gravity with part of the weight lifted and the pitch rate held.
 */
export const SHOT = {
  finalSpeed: 13.7, // m/s, what the push would reach if it never ended
  tauS: 0.035,
  pushS: 0.0853,
  restS: 0.0217,
  directionRad: 0.41,
  pitchAtRestRad: 0.38,
  pitchPerMetre: 0.06, // rad of pitch for a metre of travel
  liftShare: 0.6,
} as const;

const NOSE = [0.17, 0.004] as const;
const TAIL = [-0.21, 0.004] as const;
export const AXIS: BodyAxis = { forward: 0, aft: 1, alongM: 0.17, aboveM: -0.004 };

function pushed(t: number) {
  const { finalSpeed: v, tauS: tau } = SHOT;
  const e = Math.exp(-t / tau);
  return {
    travel: v * (t - 2 * tau * (1 - e) + (tau / 2) * (1 - e * e)),
    speed: v * (1 - e) ** 2,
  };
}

/** s since first motion at which the push has given a share of the speed at release. */
function reaching(share: number): number {
  const wanted = share * pushed(SHOT.pushS).speed;
  return -SHOT.tauS * Math.log(1 - Math.sqrt(wanted / SHOT.finalSpeed));
}

export const TRUTH = {
  // first motion counts from 2 % of the speed, and the push time as far from its end
  startS: SHOT.restS + reaching(0.02),
  pushTime: reaching(0.98) - reaching(0.02),
  releaseS: SHOT.restS + SHOT.pushS,
  speed: pushed(SHOT.pushS).speed,
  stroke: pushed(SHOT.pushS).travel,
  peakAcceleration: SHOT.finalSpeed / (2 * SHOT.tauS),
  pitchRate: SHOT.pitchPerMetre * pushed(SHOT.pushS).speed,
  pitch: SHOT.pitchAtRestRad + SHOT.pitchPerMetre * pushed(SHOT.pushS).travel,
} as const;

/** Place of the centre of gravity (m, x forward, y up) and pitch at a time of the clip. */
export function truePose(timeS: number): readonly [x: number, y: number, pitch: number] {
  const t = Math.min(Math.max(0, timeS - SHOT.restS), SHOT.pushS);
  const flown = Math.max(0, timeS - TRUTH.releaseS);
  const { travel } = pushed(t);
  const along = travel + TRUTH.speed * flown;
  const fall = (STANDARD_GRAVITY * (1 - SHOT.liftShare) * flown * flown) / 2;
  const pitch = SHOT.pitchAtRestRad + SHOT.pitchPerMetre * travel + TRUTH.pitchRate * flown;
  return [along * Math.cos(SHOT.directionRad), along * Math.sin(SHOT.directionRad) - fall, pitch];
}

export interface Filming {
  readonly rateHz: number;
  /** m, standard deviation of each mark's coordinates; 0 for exact marks. */
  readonly noiseM: number;
  /** m, what the marks are stated to have. */
  readonly statedM: number;
  readonly seed: number;
  /** Frames after release. */
  readonly flightFrames: number;
  /**
   * A shutter that reads upwards row by row: s from the ground's row to the topmost, and m between the two;
   * at once when left out.
   */
  readonly readout?: { readonly topS: number; readonly heightM: number };
}

/** Marks of nose and tail in every frame from rest into free flight. */
export function simulatedMarks({
  rateHz,
  noiseM,
  statedM,
  seed,
  flightFrames,
  readout,
}: Filming): PlaneMark[] {
  const chance = createChance(seed);
  const frames = Math.floor(TRUTH.releaseS * rateHz) + flightFrames;
  return Array.from({ length: frames }, (_, frame) => {
    const timeS = frame / rateHz;
    return [NOSE, TAIL].map((body, point): PlaneMark => {
      const { at, lagS } = exposed(body, timeS, readout);
      const [x, y] = [at[0] + noiseM * chance.normal(), at[1] + noiseM * chance.normal()];
      return { point, frame, timeS, x, y, u: statedM, ...(readout ? { lagS } : {}) };
    });
  }).flat();
}

/** Where a point of the body is when the row it then lies in is read. */
function exposed(
  [forward, up]: readonly [number, number],
  timeS: number,
  readout: Filming["readout"],
): { readonly at: readonly [number, number]; readonly lagS: number } {
  let lagS = 0;
  for (;;) {
    const [x, y, pitch] = truePose(timeS + lagS);
    const [cos, sin] = [Math.cos(pitch), Math.sin(pitch)];
    const at = [x + cos * forward - sin * up, y + sin * forward + cos * up] as const;
    const next = readout ? (readout.topS * at[1]) / readout.heightM : 0;
    if (Math.abs(next - lagS) < 1e-12) return { at, lagS };
    lagS = next;
  }
}

export const FILMED: Filming = { rateHz: 960, noiseM: 0.5e-3, statedM: 0.5e-3, seed: 1, flightFrames: 55 };
