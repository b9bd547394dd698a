import type { BodyAxis, PlaneMark } from "../../../src/shared/kinematics/body-shape.ts";
import { createChance } from "../../../src/shared/quantity/chance.ts";
import { STANDARD_GRAVITY } from "../../../src/shared/quantity/gravity.ts";

/**
 * A push along a straight line whose acceleration is straight between corners: [s after first motion,
 * m/s²]. It ends with the last corner; then flight with the weight half lifted. The pitch turns with the
 * travel.
 */
export interface SimulatedPush {
  readonly corners: readonly (readonly [afterS: number, acceleration: number])[];
  readonly rateHz: number;
  /** m, standard deviation of each mark's coordinates, as stated. */
  readonly noiseM: number;
  readonly points: number;
  readonly restFrames: number;
  readonly flightFrames: number;
  readonly seed: number;
}

export interface PushTruth {
  readonly startS: number;
  readonly releaseS: number;
  readonly speed: number;
  readonly peakAcceleration: number;
}

const DIRECTION_RAD = 0.41;
const PITCH_RAD = 0.38;
const TURN_PER_METRE = 0.06;
const LIFT_SHARE = 0.5;
const BODY = [
  [0.17, 0.004],
  [-0.21, 0.004],
  [0.05, 0.06],
  [-0.1, -0.03],
] as const;
export const PUSH_AXIS: BodyAxis = { forward: 0, aft: 1, alongM: 0.17, aboveM: -0.004 };

/** Marks of every point in every frame, first motion at an instant between two frames drawn by the seed. */
export function simulatedPush(push: SimulatedPush): {
  readonly marks: readonly PlaneMark[];
  readonly truth: PushTruth;
} {
  const { corners, rateHz, noiseM, points, restFrames, flightFrames, seed } = push;
  const chance = createChance(seed);
  const startS = (restFrames + chance.uniform()) / rateHz;
  const pushS = corners.at(-1)?.[0] ?? 0;
  const releaseS = startS + pushS;
  const atRelease = pushed(corners, pushS);
  const marks: PlaneMark[] = [];
  for (let frame = 0; frame <= Math.floor(releaseS * rateHz) + flightFrames; frame++) {
    const timeS = frame / rateHz;
    const flown = Math.max(0, timeS - releaseS);
    const travel = pushed(corners, timeS - startS).travel + atRelease.speed * flown;
    const x = travel * Math.cos(DIRECTION_RAD);
    const y = travel * Math.sin(DIRECTION_RAD) - ((1 - LIFT_SHARE) * STANDARD_GRAVITY * flown * flown) / 2;
    const pitch = PITCH_RAD + TURN_PER_METRE * travel;
    const [cos, sin] = [Math.cos(pitch), Math.sin(pitch)];
    BODY.slice(0, points).forEach(([forward, up], point) => {
      marks.push({
        point,
        frame,
        timeS,
        x: x + cos * forward - sin * up + noiseM * chance.normal(),
        y: y + sin * forward + cos * up + noiseM * chance.normal(),
        u: noiseM,
      });
    });
  }
  const peakAcceleration = Math.max(...corners.map(([, acceleration]) => acceleration));
  return { marks, truth: { startS, releaseS, speed: atRelease.speed, peakAcceleration } };
}

/** Travel and speed at an instant of the push; both stay as they are at its end afterwards. */
function pushed(corners: SimulatedPush["corners"], afterS: number) {
  let [travel, speed] = [0, 0];
  corners.slice(1).forEach(([to, end], i) => {
    const [from, begin] = corners[i] ?? [0, 0];
    const t = Math.min(Math.max(0, afterS - from), to - from);
    const jerk = (end - begin) / (to - from);
    travel += t * (speed + t * (begin / 2 + (t * jerk) / 6));
    speed += t * (begin + (t * jerk) / 2);
  });
  return { travel, speed };
}
