import type { RamInputs, RamPrediction } from "../../../src/shared/launch/ram/ram-inputs.ts";
import { STANDARD_GRAVITY } from "../../../src/shared/quantity/gravity.ts";

/** Travel (m), speed (m/s) and acceleration (m/s²) along the launch direction. */
export interface AlongState {
  readonly s: number;
  readonly v: number;
  readonly a: number;
}

/** A push as a function of time since first motion, until it ends after `pushS`. */
export interface Push {
  readonly pushS: number;
  readonly peak: number;
  at(timeS: number): AlongState;
}

const STEPS = 20_000; // of a push: the trapezium rule's error is then below a micrometre

/**
 * A push whose force follows a shape over its time, from 0 to 1: the airframe stays at rest until the force
 * along the launcher is more than its weight there.
 * @param speed,stroke m/s and m that the push reaches where nothing but it acts
 */
export function shapedPush(
  shape: (share: number) => number,
  speed: number,
  stroke: number,
  angleRad: number,
): Push {
  const unit = integrated(shape, 1, 1, 0);
  const durationS = (stroke * unit.v) / (speed * unit.s);
  const scale = speed / (durationS * unit.v);
  const weight = STANDARD_GRAVITY * Math.sin(angleRad);
  const { table, firstStep } = integrated(shape, scale, durationS, weight);
  const stepS = durationS / STEPS;
  const pushS = durationS - firstStep * stepS;
  return {
    pushS,
    peak: Math.max(...table.a),
    at(timeS) {
      if (timeS <= 0) return { s: 0, v: 0, a: 0 };
      const at = Math.min(firstStep + timeS / stepS, STEPS);
      const i = Math.min(Math.floor(at), STEPS - 1);
      const part = at - i;
      const a0 = table.a[i]!;
      const a = a0 + part * (table.a[i + 1]! - a0);
      const dt = part * stepS;
      const v = table.v[i]! + (dt * (a0 + a)) / 2;
      return { s: table.s[i]! + dt * table.v[i]! + (dt * dt * (2 * a0 + a)) / 6, v, a };
    },
  };
}

function integrated(shape: (share: number) => number, scale: number, durationS: number, weight: number) {
  const table = {
    s: new Float64Array(STEPS + 1),
    v: new Float64Array(STEPS + 1),
    a: new Float64Array(STEPS + 1),
  };
  const dt = durationS / STEPS;
  let firstStep = -1;
  for (let i = 0; i <= STEPS; i++) {
    const free = scale * shape(i / STEPS) - weight;
    if (firstStep < 0 && free <= 0) continue;
    if (firstStep < 0) firstStep = i;
    table.a[i] = free;
    if (i === firstStep) continue;
    const a0 = table.a[i - 1]!;
    table.v[i] = table.v[i - 1]! + (dt * (a0 + free)) / 2;
    table.s[i] = table.s[i - 1]! + dt * table.v[i - 1]! + (dt * dt * (2 * a0 + free)) / 6;
  }
  return { table, firstStep, s: table.s[STEPS]!, v: table.v[STEPS]! };
}

/** The push of a predicted ram, whose airframe leaves at the end of its stroke. */
export function ramPush(inputs: RamInputs, ram: RamPrediction): Push {
  return {
    pushS: ram.exitS - ram.startS,
    peak: ram.peakAccelerationMPerS2,
    at(timeS) {
      if (timeS <= 0) return { s: 0, v: 0, a: 0 };
      const state = ram.at(Math.min(ram.startS + timeS, ram.exitS));
      return {
        s: Math.min(state.positionM, inputs.strokeM),
        v: state.speedMPerS,
        a: state.accelerationMPerS2,
      };
    },
  };
}

/** s since first motion at which the push has given a speed. */
export function reaching(push: Push, speed: number): number {
  let [low, high] = [0, push.pushS];
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    if (push.at(middle).v < speed) low = middle;
    else high = middle;
  }
  return high;
}
