import { denseAt } from "../../numeric/dormand-prince.ts";
import { findRoot } from "../../numeric/find-root.ts";
import { integrate, type OdeEvent, type OdeRun } from "../../numeric/integrate.ts";
import type { Rhs } from "../../numeric/stepper.ts";
import { STANDARD_GRAVITY } from "../../quantity/gravity.ts";
import type { RocketInputs } from "./rocket-inputs.ts";
import { lineAt, massAt, type ThrustStretch } from "./rocket-thrust.ts";

/** Places in the state vector: m and m/s along the path, rad and rad/s of pitch and of yaw. */
export const TRAVEL = 0;
export const SPEED = 1;
export const PITCH = 2;
export const PITCH_RATE = 3;
export const YAW = 4;
export const YAW_RATE = 5;

/** At rest on the cradle, moving up it, sliding back down it, clear of it. */
export type RocketPhase = "held" | "up" | "back" | "free";

/**
 * Part of a boost in one phase and one stretch of thrust; `run` is null while held,
 * where nothing but time moves.
 */
export interface RocketPiece {
  readonly phase: RocketPhase;
  readonly stretch: ThrustStretch;
  readonly t0: number;
  readonly t1: number;
  readonly start: Float64Array;
  readonly run: OdeRun | null;
}

export interface RocketMotion {
  readonly pieces: readonly RocketPiece[];
  /** s, start of the motion that leaves the cradle, and the instant it is left; NaN when it never is. */
  readonly liftOffS: number;
  readonly leaveS: number;
}

// on the cradle the airframe is looked at so often, to see it rest and start again within one line of thrust
const LOOK_S = 0.05;
const MOST_CHANGES = 1000; // of phase; a boost has two or three

/**
 * N along the path that the thrust has to overcome besides friction: weight, and drag of the air that passes.
 */
export function againstThrust(
  { angleRad, dragAreaM2, airDensity, headwindMPerS }: RocketInputs,
  massKg: number,
  speedMPerS: number,
): number {
  const air = speedMPerS + headwindMPerS * Math.cos(angleRad);
  const drag = 0.5 * airDensity * dragAreaM2 * air * Math.abs(air);
  return massKg * STANDARD_GRAVITY * Math.sin(angleRad) + drag;
}

/** dy/dt in a phase of a stretch: the equations of `predictRocket`. */
export function rocketRhs(inputs: RocketInputs, phase: RocketPhase, stretch: ThrustStretch): Rhs {
  const turns = phase === "free" || (inputs.turnsOnCradle && phase !== "held");
  const { pitchInertiaKgM2: pitchInertia, yawInertiaKgM2: yawInertia } = inputs;
  const friction = phase === "up" ? inputs.slidingN : phase === "back" ? -inputs.slidingN : 0;
  return (t, y, out) => {
    const tau = t - stretch.t0;
    if (phase === "held") {
      out.fill(0);
      return;
    }
    const mass = massAt(stretch, tau);
    out[TRAVEL] = y[SPEED];
    out[SPEED] = (lineAt(stretch.along, tau) - againstThrust(inputs, mass, y[SPEED]) - friction) / mass;
    out[PITCH] = turns ? y[PITCH_RATE] : 0;
    out[PITCH_RATE] = turns && pitchInertia !== null ? lineAt(stretch.pitch, tau) / pitchInertia : 0;
    out[YAW] = turns ? y[YAW_RATE] : 0;
    out[YAW_RATE] = turns && yawInertia !== null ? lineAt(stretch.yaw, tau) / yawInertia : 0;
  };
}

/**
 * Follows the airframe from rest at the bottom of the cradle through the stretches; clear of it, no further
 * than `endS`. On the cradle it rests until the thrust along it exceeds weight, drag and friction; where the
 * thrust fails under way it slows, and may slide back as far as the bottom, where it rests again.
 * @throws IntegrationError when the equations cannot be followed
 */
export function rocketMotion(
  inputs: RocketInputs,
  stretches: readonly ThrustStretch[],
  endS: number,
  relTol: number,
): RocketMotion {
  const { railM } = inputs;
  const speedScale = Math.sqrt(2 * STANDARD_GRAVITY * railM);
  const absTol = [railM, speedScale, 1, 1, 1, 1].map((scale) => 1e-4 * relTol * scale);
  const leaves: OdeEvent = { name: "leave", direction: 1, value: (_t, y) => y[TRAVEL] / railM - 1 };
  const bottom: OdeEvent = { name: "bottom", direction: -1, value: (_t, y) => y[TRAVEL] / railM };
  const rests = (direction: 1 | -1): OdeEvent => ({
    name: "rest",
    direction,
    value: (_t, y) => y[SPEED] / speedScale,
  });
  const EVENTS: Readonly<Record<RocketPhase, readonly OdeEvent[]>> = {
    held: [],
    up: [leaves, rests(-1)],
    back: [bottom, rests(1)],
    free: [],
  };
  const passedBefore = (travelM: number): OdeEvent | null =>
    travelM > railM ? leaves : travelM < 0 ? bottom : null;
  const follow = (phase: RocketPhase, stretch: ThrustStretch, t: number, y: Float64Array): OdeRun => {
    // No stretch is stiff: drag and thrust change over tens of milliseconds.
    const problem = { rhs: rocketRhs(inputs, phase, stretch), relTol, absTol, explicitSteps: Infinity };
    const end = phase === "free" ? stretch.t1 : Math.min(stretch.t1, t + LOOK_S);
    const run = integrate({ ...problem, events: EVENTS[phase] }, t, y, end, end - t);
    // Travel is one-way until the airframe rests, so a rest beyond an end of the cradle has passed that end
    // before, in the same step.
    const passed = run.event === "rest" ? passedBefore(run.y[TRAVEL]) : null;
    return passed ? integrate({ ...problem, events: [passed] }, t, y, run.t, run.t - t) : run;
  };
  const pieces: RocketPiece[] = [];
  let phase = "held" as RocketPhase;
  let y: Float64Array = new Float64Array(6);
  let [liftOffS, leaveS, changes] = [Number.NaN, Number.NaN, 0];

  /** Rests in the cradle from t on. @returns when that ends, at the latest with the stretch */
  const rest = (stretch: ThrustStretch, t: number): number => {
    const next = endOfRest(inputs, stretch, t, y[TRAVEL]);
    if (next.t > t) pieces.push({ phase, stretch, t0: t, t1: next.t, start: y, run: null });
    if (next.phase === null) return next.t;
    phase = next.phase;
    changes++;
    if (phase === "up") liftOffS = next.t;
    return next.t;
  };
  /** Moves from t on. @returns when it was followed to, at the latest the end of the stretch */
  const move = (stretch: ThrustStretch, t: number): number => {
    const run = follow(phase, stretch, t, y);
    if (run.steps.length > 0) pieces.push({ phase, stretch, t0: t, t1: run.t, start: y, run });
    y = run.y;
    if (run.event === null) return run.t;
    changes++;
    if (run.event === "leave") {
      phase = "free";
      leaveS = run.t;
      return run.t;
    }
    phase = "held";
    y[SPEED] = 0;
    if (run.event === "bottom") y[TRAVEL] = 0;
    return run.t;
  };

  for (const stretch of stretches) {
    if (phase === "free" && stretch.t0 >= endS) break;
    let t = stretch.t0;
    while (t < stretch.t1) {
      if (changes > MOST_CHANGES) return { pieces, liftOffS, leaveS: Number.NaN };
      t = phase === "held" ? rest(stretch, t) : move(stretch, t);
    }
  }
  return { pieces, liftOffS, leaveS };
}

/** The state at t in a piece; its ends outside it. */
export function stateIn({ t0, t1, start, run }: RocketPiece, t: number): Float64Array {
  if (run === null || t <= t0) return start;
  if (t >= t1) return run.y;
  const step = run.steps.findLast((one) => one.t0 <= t) ?? run.steps[0];
  return denseAt(step, t);
}

/**
 * When, from t on, an airframe at rest begins to move within a stretch, and which way; phase null
 * when it rests to its end.
 */
function endOfRest(
  inputs: RocketInputs,
  stretch: ThrustStretch,
  t: number,
  travelM: number,
): { readonly t: number; readonly phase: "up" | "back" | null } {
  const push = (at: number) =>
    lineAt(stretch.along, at - stretch.t0) - againstThrust(inputs, massAt(stretch, at - stretch.t0), 0);
  const ways = [
    { phase: "up" as const, excess: (at: number) => push(at) - inputs.slidingN },
    ...(travelM > 0 ? [{ phase: "back" as const, excess: (at: number) => -push(at) - inputs.slidingN }] : []),
  ];
  let first: { t: number; phase: "up" | "back" | null } = { t: stretch.t1, phase: null };
  for (const { phase, excess } of ways) {
    const [now, end] = [excess(t), excess(stretch.t1)];
    if (now > 0) return { t, phase };
    if (end <= 0) continue;
    const at = findRoot(excess, t, now, stretch.t1, end);
    if (at < first.t) first = { t: at, phase };
  }
  return first;
}
