import { predictRam } from "../../shared/launch/ram/predict-ram.ts";
import type { RamPrediction } from "../../shared/launch/ram/ram-inputs.ts";
import { STANDARD_GRAVITY } from "../../shared/quantity/gravity.ts";
import { unwrap } from "../../shared/quantity/result.ts";
import { exampleCamera, seenInMotion } from "./example-camera.ts";
import {
  bodyToWorld,
  type Pixel,
  type Pose,
  PUSH_OFFSET_M,
  type TargetId,
  TRUE_AIRFRAME,
  TRUE_RAM,
  VALVE_OPENS_CLIP_S,
  worldToPixel,
} from "./example-scene.ts";
import type { ExampleVariant } from "./example-variant.ts";

const FLIGHT_STEP_S = 1e-4; // Runge-Kutta of order four on a motion this smooth: far below a nanometre
const FLIGHT_STEPS = 1000; // 0.1 s, more than the clip shows
const BUFFER_M = 0.008; // travel in which the end stop brings the rod to rest

/** The whole motion in clip time: s from the centre of the exposure of frame 0. */
export interface ExampleMotion {
  readonly startS: number;
  readonly releaseS: number;
  readonly ram: RamPrediction;
  /** Position of the centre of gravity in the world, m, and pitch, rad. */
  pose(timeS: number): Pose;
  /** rad/s, nose up positive. */
  pitchRate(timeS: number): number;
  /** m, how far the rod and its fork have come out. */
  rodTravel(timeS: number): number;
}

let made: ExampleMotion | null = null;

/**
 * The motion of the example launch. During the push the centre of gravity follows the ram model along the
 * straight push line; the push line passes d below it, so that I dω/dt = F d with F = m (a + g sin θ), the
 * contact force on the airframe. F is integrable in closed form: ω = (m d / I) (v + g sin θ (t - t_start)).
 * After release a point mass under gravity, drag and lift (both at fixed coefficients, ∝ v²), and ω decays
 * with the time constant of the airframe.
 */
export function exampleMotion(): ExampleMotion {
  made ??= makeMotion();
  return made;
}

function makeMotion(): ExampleMotion {
  const ram = unwrap(predictRam(TRUE_RAM));
  const startS = VALVE_OPENS_CLIP_S + ram.startS;
  const releaseS = VALVE_OPENS_CLIP_S + ram.exitS;
  const { angleRad, strokeM } = TRUE_RAM;
  const [c, s] = [Math.cos(angleRad), Math.sin(angleRad)];
  const perMomentum = (TRUE_AIRFRAME.massKg * PUSH_OFFSET_M) / TRUE_AIRFRAME.pitchInertiaKgM2; // m d / I
  const along = STANDARD_GRAVITY * s;
  const pushS = releaseS - startS;
  const rateAtRelease = perMomentum * (ram.exitSpeedMPerS + along * pushS);
  const pitchAtRelease = TRUE_AIRFRAME.pitchAtRestRad + perMomentum * (strokeM + (along * pushS ** 2) / 2);
  const damping = TRUE_AIRFRAME.pitchDampingS;
  const flight = flyFrom([strokeM * c, strokeM * s, ram.exitSpeedMPerS * c, ram.exitSpeedMPerS * s]);

  return {
    startS,
    releaseS,
    ram,
    pose(timeS) {
      if (timeS <= startS) return { x: 0, y: 0, pitch: TRUE_AIRFRAME.pitchAtRestRad };
      if (timeS <= releaseS) {
        const x = ram.at(timeS - VALVE_OPENS_CLIP_S).positionM;
        const turned = perMomentum * (x + (along * (timeS - startS) ** 2) / 2);
        return { x: x * c, y: x * s, pitch: TRUE_AIRFRAME.pitchAtRestRad + turned };
      }
      const after = timeS - releaseS;
      const [x, y] = between(flight, after);
      return { x, y, pitch: pitchAtRelease + rateAtRelease * damping * (1 - Math.exp(-after / damping)) };
    },
    pitchRate(timeS) {
      if (timeS <= startS) return 0;
      if (timeS > releaseS) return rateAtRelease * Math.exp(-(timeS - releaseS) / damping);
      return perMomentum * (ram.at(timeS - VALVE_OPENS_CLIP_S).speedMPerS + along * (timeS - startS));
    },
    rodTravel(timeS) {
      if (timeS <= startS) return 0;
      if (timeS <= releaseS) return ram.at(timeS - VALVE_OPENS_CLIP_S).positionM;
      const slowing = Math.exp((-ram.exitSpeedMPerS * (timeS - releaseS)) / BUFFER_M);
      return strokeM + BUFFER_M * (1 - slowing);
    },
  };
}

/** x, y in m and their rates in m/s. */
type FlightState = readonly [number, number, number, number];

/** Flight after release at steps of FLIGHT_STEP_S, by the classical Runge-Kutta method. */
function flyFrom(start: FlightState): readonly FlightState[] {
  const states = [start];
  const h = FLIGHT_STEP_S;
  for (let i = 0, s = start; i < FLIGHT_STEPS; i++) {
    const k1 = flightRate(s);
    const k2 = flightRate(step(s, k1, h / 2));
    const k3 = flightRate(step(s, k2, h / 2));
    const k4 = flightRate(step(s, k3, h));
    s = s.map((one, j) => one + (h / 6) * (k1[j] + 2 * k2[j] + 2 * k3[j] + k4[j])) as unknown as FlightState;
    states.push(s);
  }
  return states;
}

function step(s: FlightState, rate: FlightState, h: number): FlightState {
  return [s[0] + h * rate[0], s[1] + h * rate[1], s[2] + h * rate[2], s[3] + h * rate[3]];
}

/**
 * Drag against the velocity, lift square to it on the upper side, both ½ ρ S c v², ρ by the
 * ideal gas law for dry air.
 */
function flightRate([, , vx, vy]: FlightState): FlightState {
  const density = TRUE_RAM.airPressurePa / (287.05 * TRUE_RAM.temperatureK);
  const { massKg, wingAreaM2, dragCoefficient, liftCoefficient } = TRUE_AIRFRAME;
  const perSpeed = ((density * wingAreaM2) / (2 * massKg)) * Math.hypot(vx, vy);
  return [
    vx,
    vy,
    perSpeed * (-dragCoefficient * vx - liftCoefficient * vy),
    perSpeed * (-dragCoefficient * vy + liftCoefficient * vx) - STANDARD_GRAVITY,
  ];
}

/** Position between the stored steps by the cubic that meets position and velocity at both ends (Hermite). */
function between(states: readonly FlightState[], timeS: number): readonly [number, number] {
  const i = Math.min(Math.floor(timeS / FLIGHT_STEP_S), states.length - 2);
  const [p, q] = [states[i], states[i + 1]];
  const w = timeS / FLIGHT_STEP_S - i;
  const at = (j: 0 | 1, rate: 2 | 3) => {
    const [w2, w3] = [w * w, w * w * w];
    return (
      p[j] * (2 * w3 - 3 * w2 + 1) +
      q[j] * (3 * w2 - 2 * w3) +
      FLIGHT_STEP_S * (p[rate] * (w3 - 2 * w2 + w) + q[rate] * (w3 - w2))
    );
  };
  return [at(0, 2), at(1, 3)];
}

/**
 * True position of the centre of gravity, m in the world (x right, y up, origin at rest), and
 * pitch, rad, at a clip time.
 */
export function examplePose(timeS: number): Pose {
  return exampleMotion().pose(timeS);
}

/**
 * The exact pixel of a target of the airframe in a frame (fractions allowed): at the middle of its row's
 * exposure, as the variant's camera sees it. Pixels as in the session: (0, 0) is the top left corner of the
 * picture, pixel centres at half integers.
 */
export function examplePixel(pointId: TargetId, frame: number, variant: ExampleVariant = "plain"): Pixel {
  const place = TRUE_AIRFRAME.targets[pointId];
  return seenInMotion(exampleCamera(variant), frame, (timeS) =>
    worldToPixel(bodyToWorld(examplePose(timeS), place)),
  );
}
