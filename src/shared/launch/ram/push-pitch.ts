import { STANDARD_GRAVITY as G } from "../../quantity/gravity.ts";

/** What turns the airframe on a ram, and what holds it. SI. */
export interface PushPitchInputs {
  readonly airframeMassKg: number;
  /** kg m², about the balance point. */
  readonly pitchInertiaKgM2: number;
  readonly angleRad: number;
  /** m, by which the line of the push passes below the balance point; below 0 where it passes above. */
  readonly pushBelowM: number;
  /** N m/rad and N m s/rad, with which the cradle holds the airframe's pitch. */
  readonly cradleStiffness: number;
  readonly cradleDamping: number;
  /**
   * The last of the stroke, over which the last support alone carries the airframe, and how far it is behind
   * the balance point (below 0: ahead); null where all supports let go at once.
   */
  readonly tipOff: { readonly travelM: number; readonly behindM: number } | null;
}

/** Pitch from that of the launcher, nose up, and its rate. */
export interface PushPitch {
  readonly timeS: number;
  readonly pitchRad: number;
  readonly rateRadPerS: number;
}

/** Of the push at one time: what the ram's model gives. */
interface PushState {
  readonly positionM: number;
  readonly accelerationMPerS2: number;
}

const STEPS = 800;

/**
 * Pitch of an airframe while a ram pushes it. On the cradle I θ̈ = ΔF e − k θ − c θ̇: F the push on the
 * airframe, m (a + g sin α), ΔF what it has grown by since rest, for what holds the weight at rest goes on
 * holding it; e how far below the balance point its line passes. On the last support alone, at d behind, the
 * cradle holds nothing more and the airframe turns about that support, (I + m d²) θ̈ = F e − m g cos α d, for
 * as long as the support is pressed, m (g cos α + d θ̈) > 0; else about its balance point. Drag is taken to
 * pass through the balance point. The load is taken as linear in time between even steps, over which the
 * first equation is solved in closed form: a stiff cradle costs no more steps. Source: rigid-body mechanics;
 * checked against tools/reference/push_pitch.py.
 * @param at the push at a time, s  @param startS first motion  @param exitS the airframe leaves
 * @param strokeM of the launcher, at whose end the last support ends too
 */
export function pushPitch(
  inputs: PushPitchInputs,
  at: (timeS: number) => PushState,
  startS: number,
  exitS: number,
  strokeM: number,
): readonly PushPitch[] {
  const { airframeMassKg: m, pitchInertiaKgM2: inertia, angleRad, pushBelowM: e, tipOff } = inputs;
  const [along, across] = [G * Math.sin(angleRad), G * Math.cos(angleRad)];
  const tipsFromM = tipOff === null ? Number.POSITIVE_INFINITY : strokeM - tipOff.travelM;
  const tipsS = tipOff === null ? exitS : timeOfTravel(at, tipsFromM, startS, exitS);
  const found: PushPitch[] = [{ timeS: startS, pitchRad: 0, rateRadPerS: 0 }];
  let [pitch, rate] = [0, 0];
  const run = (from: number, to: number, step: (t: number, h: number) => void) => {
    const steps = Math.max(1, Math.ceil((STEPS * (to - from)) / (exitS - startS)));
    const h = (to - from) / steps;
    for (let i = 0; i < steps && h > 0; i++) {
      step(from + i * h, h);
      found.push({ timeS: from + (i + 1) * h, pitchRad: pitch, rateRadPerS: rate });
    }
  };
  const moment = (t: number) => m * at(t).accelerationMPerS2 * e;
  // The push at a time costs as much as a step of its integration: each step takes over its start.
  let now = tipsS > startS ? moment(startS) : 0;
  run(startS, tipsS, (t, h) => {
    const ahead = moment(t + h);
    const next = held(inputs, pitch, rate, now, ahead, h);
    [pitch, rate, now] = [next.pitch, next.rate, ahead];
  });
  if (tipOff === null) return found;
  const d = tipOff.behindM;
  const turning = (t: number) => {
    const push = m * (at(t).accelerationMPerS2 + along) * e;
    const onSupport = (push - m * across * d) / (inertia + m * d * d);
    return across + d * onSupport > 0 ? onSupport : push / inertia;
  };
  let a = turning(tipsS);
  run(tipsS, exitS, (t, h) => {
    const [b, c] = [turning(t + h / 2), turning(t + h)];
    pitch += rate * h + ((a + 2 * b) * h * h) / 6;
    rate += ((a + 4 * b + c) * h) / 6;
    a = c;
  });
  return found;
}

/** One step of I θ̈ + c θ̇ + k θ = M, M linear in time from m0 to m1. */
function held(
  { pitchInertiaKgM2: inertia, cradleStiffness: k, cradleDamping: c }: PushPitchInputs,
  pitch: number,
  rate: number,
  m0: number,
  m1: number,
  h: number,
): { readonly pitch: number; readonly rate: number } {
  // The particular solution p + q t of a linear load; without a spring or a damper the load is integrated
  // instead.
  const slope = (m1 - m0) / h;
  if (k === 0 && c === 0) {
    return {
      pitch: pitch + rate * h + ((2 * m0 + m1) * h * h) / (6 * inertia),
      rate: rate + ((m0 + m1) * h) / (2 * inertia),
    };
  }
  if (k === 0) return onDamper(inertia, c, pitch, rate, m0, slope, h);
  const q = slope / k;
  const p = (m0 - c * q) / k;
  const [x, v] = [pitch - p, rate - q];
  const decay = c / (2 * inertia);
  const square = k / inertia - decay * decay;
  const { cosine, sine } = swing(square, h);
  const fade = Math.exp(-decay * h);
  return {
    pitch: fade * (x * cosine + (v + decay * x) * sine) + p + q * h,
    rate: fade * (v * cosine - (decay * v + (k / inertia) * x) * sine) + q,
  };
}

/** cos ω h and sin ω h over ω for ω² of either sign. */
function swing(square: number, h: number): { readonly cosine: number; readonly sine: number } {
  const w = Math.sqrt(Math.abs(square));
  if (w * h < 1e-6) return { cosine: 1 - (square * h * h) / 2, sine: h * (1 - (square * h * h) / 6) };
  return square > 0
    ? { cosine: Math.cos(w * h), sine: Math.sin(w * h) / w }
    : { cosine: Math.cosh(w * h), sine: Math.sinh(w * h) / w };
}

function onDamper(
  inertia: number,
  c: number,
  pitch: number,
  rate: number,
  m0: number,
  slope: number,
  h: number,
): { readonly pitch: number; readonly rate: number } {
  const b = slope / c;
  const a = (m0 - inertia * b) / c; // the rate that the load holds: a + b t
  const lost = -Math.expm1((-c * h) / inertia);
  return {
    pitch: pitch + a * h + (b * h * h) / 2 + (rate - a) * (inertia / c) * lost,
    rate: a + b * h + (rate - a) * (1 - lost),
  };
}

const HALVINGS = 60;

function timeOfTravel(
  at: (timeS: number) => PushState,
  travelM: number,
  startS: number,
  exitS: number,
): number {
  let [low, high] = [startS, exitS];
  for (let i = 0; i < HALVINGS; i++) {
    const middle = (low + high) / 2;
    if (at(middle).positionM < travelM) low = middle;
    else high = middle;
  }
  return high;
}
