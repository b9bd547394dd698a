import { denseAt } from "../numeric/dormand-prince.ts";
import { findRoot } from "../numeric/find-root.ts";
import { integrate, type OdeEvent, type OdeRun } from "../numeric/integrate.ts";
import type { DenseStep, Rhs } from "../numeric/stepper.ts";
import { STANDARD_GRAVITY as G } from "../quantity/gravity.ts";
import { lastOf } from "../quantity/known-element.ts";

/** Thrust along the body, N, and mass, kg, in a stretch of time: straight lines and their integral. */
export interface ThrustLeg {
  readonly t0: number;
  readonly t1: number;
  readonly along: { readonly start: number; readonly slope: number };
  readonly massKg: number;
  readonly burn: { readonly start: number; readonly slope: number };
}

/** A body that leaves its launcher and that nobody flies, SI. */
export interface UnflownBody {
  readonly speedMPerS: number;
  /** rad, direction of the velocity on leaving above the horizontal. */
  readonly angleRad: number;
  /** m, above level ground on leaving. */
  readonly heightM: number;
  /** m², C_d A. */
  readonly dragAreaM2: number;
  /** m², C_Lmax S of a wing that keeps the path straight through the air while it can; 0 for none. */
  readonly greatestLiftAreaM2: number;
  readonly airDensity: number;
  /** m/s, horizontal, against the direction of launch; and from the left towards the right, from behind. */
  readonly headwindMPerS: number;
  readonly crosswindMPerS: number;
  /** Where the thrust points: into the air that comes, or on along the launcher. */
  readonly nose: "into-the-air" | "as-it-left";
}

/** Place from where it left: x along the ground in the direction of launch, y up, right seen from behind. */
export interface PathPoint {
  readonly timeS: number;
  readonly x: number;
  readonly y: number;
  readonly right: number;
}

export interface PathToGround {
  /** The highest place. */
  readonly top: PathPoint;
  readonly down: PathPoint & { readonly speedMPerS: number };
  /** Where it is at a time between leaving and the ground; null outside. */
  at(timeS: number): PathPoint | null;
  /** @param count points at even times from leaving to the ground, >= 2 */
  sampled(count: number): readonly PathPoint[];
}

/** s; what a launcher throws is not up longer unless a wing carries it or an input is a slip. */
export const LONGEST_FLIGHT_S = 120;

/** A body that nothing pushes. */
export function coasting(massKg: number): readonly ThrustLeg[] {
  const none = { start: 0, slope: 0 };
  return [{ t0: 0, t1: Infinity, along: none, massKg, burn: none }];
}

const FIRST_STEP_S = 0.1; // a whole leg of most thrust curves
const REL_TOL = 1e-8; // keeps 7 digits of apogee and range in the checked flights
const [X, Y, RIGHT, VX, VY, VRIGHT] = [0, 1, 2, 3, 4, 5] as const;

/**
 * The path from leaving a launcher to level ground as a point mass that nobody steers: m v̇ = m g − ½ρ C_dA
 * |w| w + F n + lift, w the velocity through the air, n the direction of the nose. A nose that points into
 * the air that comes is what a body does whose centre of pressure lies behind its centre of gravity, taken
 * here as turning at once; one that stays as it left is the other end. Wind and density are the same at
 * every height.
 * Source: the equations of a point mass, e.g. Sutton & Biblarz, Rocket Propulsion Elements, ch. 4 (thrust
 * along the velocity, no lift).
 * @param legs in order and without a gap; `startS` lies in one of them, the last one may not end in the air
 * @returns null when it is still up two minutes after leaving, or when the legs end
 * @throws RangeError on an impossible input  @throws IntegrationError when it cannot be followed
 */
export function pathToGround(
  body: UnflownBody,
  legs: readonly ThrustLeg[],
  startS: number,
): PathToGround | null {
  check(body, legs, startS);
  const { speedMPerS: v, angleRad, heightM } = body;
  const endS = startS + LONGEST_FLIGHT_S;
  let t = startS;
  let y: Float64Array = Float64Array.from([0, 0, 0, v * Math.cos(angleRad), v * Math.sin(angleRad), 0]);
  if (heightM === 0 && y[VY] < 0) return alreadyDown(startS, v);
  const scale = Math.max(1, v);
  const absTol = [scale, scale, scale, scale, scale, scale].map((one) => 1e-2 * REL_TOL * one);
  const ground: OdeEvent = {
    name: "ground",
    direction: -1,
    value: (_t, at) => at[Y] + heightM,
    scale: Math.max(1, heightM),
  };
  const runs: OdeRun[] = [];
  for (const leg of legs) {
    if (leg.t1 <= t) continue;
    if (t >= endS) return null;
    const problem = { rhs: rhsOf(body, leg), relTol: REL_TOL, absTol, explicitSteps: Infinity };
    const until = Math.min(leg.t1, endS);
    const run = integrate({ ...problem, events: [ground] }, t, y, until, Math.min(until - t, FIRST_STEP_S));
    runs.push(run);
    ({ t, y } = run);
    if (run.event !== null) return landed(runs, startS);
  }
  return null;
}

function rhsOf(body: UnflownBody, leg: ThrustLeg): Rhs {
  const { headwindMPerS, crosswindMPerS, airDensity, angleRad, nose } = body;
  const drag = (airDensity * body.dragAreaM2) / 2;
  const lift = (airDensity * body.greatestLiftAreaM2) / 2;
  const [ahead, up] = [Math.cos(angleRad), Math.sin(angleRad)];
  return (t, y, out) => {
    const tau = t - leg.t0;
    const mass = leg.massKg - tau * (leg.burn.start + (leg.burn.slope * tau) / 2);
    const thrust = (leg.along.start + leg.along.slope * tau) / mass;
    const [wx, wy, wr] = [y[VX] + headwindMPerS, y[VY], y[VRIGHT] - crosswindMPerS];
    const w = Math.hypot(wx, wy, wr);
    const steers = nose === "into-the-air" && w > 0;
    const [nx, ny, nr] = steers ? [wx / w, wy / w, wr / w] : [ahead, up, 0];
    // Lift over m: wanted is g cos γ across the path in the upright plane through it, the wing gives lift w²
    // at most.
    const level = Math.hypot(wx, wr);
    const given = level === 0 ? 0 : Math.min((G * level) / w, (lift / mass) * w ** 2) / (w * level);
    const slowing = (drag / mass) * w;
    out[X] = y[VX];
    out[Y] = y[VY];
    out[RIGHT] = y[VRIGHT];
    out[VX] = thrust * nx - slowing * wx - given * wy * wx;
    out[VY] = thrust * ny - slowing * wy + given * level ** 2 - G;
    out[VRIGHT] = thrust * nr - slowing * wr - given * wy * wr;
  };
}

function landed(runs: readonly OdeRun[], startS: number): PathToGround {
  const steps = runs.flatMap((run) => run.steps);
  const end = lastOf(runs);
  const at = (timeS: number): PathPoint | null => {
    const step = steps.findLast(({ t0 }) => t0 <= timeS);
    return step === undefined || timeS > end.t ? null : pointAt(timeS, denseAt(step, timeS));
  };
  return {
    top: highest(steps),
    down: { ...pointAt(end.t, end.y), speedMPerS: Math.hypot(end.y[VX], end.y[VY], end.y[VRIGHT]) },
    at,
    sampled: (count) =>
      Array.from({ length: count }, (_, i) =>
        i === count - 1 ? pointAt(end.t, end.y) : at(startS + ((end.t - startS) * i) / (count - 1))!,
      ),
  };
}

/** The greatest height over all steps, where it stops rising inside one on the dense output. */
function highest(steps: readonly DenseStep[]): PathPoint {
  let best = pointAt(steps[0].t0, denseAt(steps[0], steps[0].t0));
  for (const step of steps) {
    const rising = (timeS: number) => denseAt(step, timeS)[VY];
    const [from, to] = [step.t0, step.t0 + step.h];
    const [before, after] = [rising(from), rising(to)];
    const at = before > 0 && after < 0 ? findRoot(rising, from, before, to, after, 1e-12) : to;
    const point = pointAt(at, denseAt(step, at));
    if (point.y > best.y) best = point;
  }
  return best;
}

function pointAt(timeS: number, y: Float64Array): PathPoint {
  return { timeS, x: y[X], y: y[Y], right: y[RIGHT] };
}

/** On the ground already and going down: it does not fly. */
function alreadyDown(timeS: number, speedMPerS: number): PathToGround {
  const point = { timeS, x: 0, y: 0, right: 0 };
  const sampled = (count: number) => Array.from({ length: count }, () => point);
  const at = (when: number) => (when === timeS ? point : null);
  return { top: point, down: { ...point, speedMPerS }, at, sampled };
}

function check({ nose: _nose, ...numbers }: UnflownBody, legs: readonly ThrustLeg[], startS: number): void {
  for (const [name, x] of Object.entries(numbers)) {
    if (!Number.isFinite(x)) throw new RangeError(`pathToGround: ${name} must be finite; got ${x}`);
  }
  for (const name of ["speedMPerS", "heightM", "dragAreaM2", "greatestLiftAreaM2"] as const) {
    if (!(numbers[name] >= 0))
      throw new RangeError(`pathToGround: ${name} must be >= 0; got ${numbers[name]}`);
  }
  if (!(numbers.airDensity > 0))
    throw new RangeError(`pathToGround: airDensity must be > 0; got ${numbers.airDensity}`);
  for (const { massKg } of legs) {
    if (!(massKg > 0 && massKg < Infinity))
      throw new RangeError(`pathToGround: massKg must be > 0; got ${massKg}`);
  }
  if (!legs.some(({ t0, t1 }) => t0 <= startS && startS <= t1))
    throw new RangeError(`pathToGround: no leg holds the start at ${startS} s`);
}
