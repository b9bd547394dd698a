import type { BodyAxis, PlaneMark } from "../../../src/shared/kinematics/body-shape.ts";
import { type FlightInputs, flyAfterRelease } from "../../../src/shared/launch/flight.ts";
import { predictRam } from "../../../src/shared/launch/ram/predict-ram.ts";
import type { RamInputs, RamPrediction } from "../../../src/shared/launch/ram/ram-inputs.ts";
import { type Chance, createChance } from "../../../src/shared/quantity/chance.ts";
import { STANDARD_GRAVITY } from "../../../src/shared/quantity/gravity.ts";

import { ramPush, reaching } from "./push.ts";

/**
 * One simulated shot: a ram of drawn dimensions, an airframe that pitches under a missed push line,
 * flight with drag and lift.
 */
export interface SimulatedShot {
  readonly rateHz: number;
  readonly noiseM: number;
  readonly points: number;
  readonly marks: readonly PlaneMark[];
  readonly axis: BodyAxis;
  readonly truth: {
    readonly releaseS: number;
    readonly speed: number;
    readonly direction: number;
    readonly pitchRate: number;
    readonly peakAcceleration: number;
    readonly startS: number;
    readonly pushTime: number;
    readonly meanAcceleration: number;
    readonly stroke: number;
  };
  /**
   * m, exact travel along the launch direction at each frame, and the frame's time (s): what
   * the bound is computed on.
   */
  readonly track: readonly { readonly timeS: number; readonly s: number }[];
  readonly startS: number;
}

const RATES = [240, 480, 960, 2000] as const;
const METRES_PER_PIXEL = 1.3e-3;

/**
 * Draws a shot: rates, noise 0.1 to 0.8 px at 1.3 mm/px, 2 to 5 points, and launcher and airframe
 * within the builders' range.
 */
export function simulateShot(seed: number, fixed: { rateHz?: number; noisePx?: number } = {}): SimulatedShot {
  const chance = createChance(seed);
  const rateHz = fixed.rateHz ?? (RATES[Math.floor(chance.uniform() * RATES.length)] as number);
  const noiseM = METRES_PER_PIXEL * (fixed.noisePx ?? between(chance, 0.1, 0.8));
  const points = 2 + Math.floor(chance.uniform() * 4);
  const { inputs, ram } = drawPushingRam(chance);
  const motion = drawMotion(chance, inputs, ram);
  // Builders mark a quiet stretch before and 40 to 80 ms of flight after, and at least 12 frames of it.
  const before = Math.max(0.02, 7 / rateHz) + chance.uniform() / rateHz;
  const flightS = Math.max(between(chance, 0.04, 0.08), 12 / rateHz);
  const startClipS = before;
  const opens = startClipS - ram.startS;
  const frames = Math.floor((opens + ram.exitS + flightS) * rateHz);
  const body = drawBody(chance, points);
  const marks: PlaneMark[] = [];
  const track: { timeS: number; s: number }[] = [];
  for (let frame = 0; frame < frames; frame++) {
    const timeS = frame / rateHz;
    const { x, y, pitch } = motion.at(timeS - opens);
    track.push({ timeS, s: x * Math.cos(inputs.angleRad) + y * Math.sin(inputs.angleRad) });
    const [cos, sin] = [Math.cos(pitch), Math.sin(pitch)];
    body.forEach(([forward, up], point) => {
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
  const push = ramPush(inputs, ram);
  const [from, to] = [0.02, 0.98].map((share) => reaching(push, share * ram.exitSpeedMPerS)) as [
    number,
    number,
  ];
  return {
    rateHz,
    noiseM,
    points,
    marks,
    track,
    startS: startClipS,
    axis: { forward: 0, aft: 1, alongM: 0.17, aboveM: -0.004 },
    truth: {
      releaseS: opens + ram.exitS,
      speed: ram.exitSpeedMPerS,
      direction: inputs.angleRad,
      pitchRate: motion.pitchRate,
      peakAcceleration: ram.peakAccelerationMPerS2,
      startS: startClipS + from,
      pushTime: to - from,
      meanAcceleration: (0.96 * ram.exitSpeedMPerS) / (to - from),
      stroke: inputs.strokeM,
    },
  };
}

/** m, places of the points on the body, forward and up: nose, tail, and others drawn. */
export function drawBody(chance: Chance, points: number): readonly (readonly [number, number])[] {
  return Array.from({ length: points }, (_, i) =>
    i === 0
      ? [0.17, 0.004]
      : i === 1
        ? [-0.21, 0.004]
        : [between(chance, -0.2, 0.2), between(chance, -0.03, 0.09)],
  );
}

export function between(chance: Chance, low: number, high: number): number {
  return low + (high - low) * chance.uniform();
}

const STILL_PUSHING = 10; // m/s² at the end of the stroke

/**
 * A ram that still pushes at the end of its stroke: one that does not is left by the airframe before,
 * which is not this model.
 */
export function drawPushingRam(chance: Chance): { readonly inputs: RamInputs; readonly ram: RamPrediction } {
  for (;;) {
    const inputs = drawRam(chance);
    const ram = predictRam(inputs);
    if (ram.ok && ram.value.exitAccelerationMPerS2 > STILL_PUSHING) return { inputs, ram: ram.value };
  }
}

function drawRam(chance: Chance): RamInputs {
  return {
    tankVolumeM3: between(chance, 1.5e-3, 5e-3),
    gaugePressurePa: between(chance, 2.5e5, 5e5),
    airPressurePa: 101325,
    temperatureK: 290,
    boreM: between(chance, 0.03, 0.045),
    strokeM: between(chance, 0.6, 1.0),
    deadVolumeM3: between(chance, 30e-6, 80e-6),
    valve: { conductance: between(chance, 0.8e-7, 2.2e-7), criticalRatio: between(chance, 0.2, 0.4) },
    openingS: between(chance, 0.02, 0.06),
    totalMassKg: between(chance, 1.1, 1.9),
    angleRad: between(chance, 0.15, 0.6),
    breakawayN: between(chance, 15, 40),
    slidingN: 15,
    viscousNsPerM: between(chance, 2, 10),
    rodChamber: null,
    gas: "adiabatic",
  };
}

function drawMotion(chance: Chance, inputs: RamInputs, ram: RamPrediction) {
  const airframeKg = 0.6 * inputs.totalMassKg;
  const arm = between(chance, -1.2e-3, 1.2e-3); // m, push line below the centre of gravity
  const inertia = between(chance, 0.012, 0.03);
  const turn = (airframeKg * arm) / inertia; // rad of pitch per metre of effective travel
  const pitch0 = inputs.angleRad + between(chance, -0.03, 0.03);
  const sin = Math.sin(inputs.angleRad);
  const flight: FlightInputs = {
    massKg: airframeKg,
    speedMPerS: ram.exitSpeedMPerS,
    angleRad: inputs.angleRad,
    airDensity: 1.2,
    headwindMPerS: 0,
    dragAreaM2: between(chance, 0.003, 0.02),
    liftAreaM2: between(chance, 0, 0.12),
  };
  const damping = between(chance, 0.3, 1);
  // I alpha = F d with F = m (a + g sin): integrated once and twice, from first motion.
  const push = (t: number) => {
    const state = ram.at(t);
    const since = Math.max(0, t - ram.startS);
    return {
      s: state.positionM,
      pitch: pitch0 + turn * (state.positionM + (STANDARD_GRAVITY * sin * since * since) / 2),
      pitchRate: turn * (state.speedMPerS + STANDARD_GRAVITY * sin * since),
    };
  };
  const atExit = push(ram.exitS);
  return {
    pitchRate: atExit.pitchRate,
    at(t: number): { x: number; y: number; pitch: number } {
      const [cos] = [Math.cos(inputs.angleRad)];
      if (t <= ram.exitS) {
        const { s, pitch } = push(Math.max(0, t));
        return { x: s * cos, y: s * sin, pitch };
      }
      const flown = t - ram.exitS;
      const state = flyAfterRelease(flight, [flown])[0] as { x: number; y: number };
      return {
        x: atExit.s * cos + state.x,
        y: atExit.s * sin + state.y,
        pitch: atExit.pitch + atExit.pitchRate * damping * (1 - Math.exp(-flown / damping)),
      };
    },
  };
}
