import { denseAt, explicitStepper } from "./dormand-prince.ts";
import { findRoot } from "./find-root.ts";
import { implicitStepper } from "./radau.ts";
import type { DenseStep, OdeSystem } from "./stepper.ts";
import { spend } from "./work-budget.ts";

/** A surface in state space at which an integration stops. */
export interface OdeEvent {
  readonly name: string;
  /** Changes sign at the event. */
  value(t: number, y: Float64Array): number;
  /**
   * What the value is of the order of away from the surface, > 0; 1 when left out. A value within 1e-11 of it
   * is on the surface: two surfaces must lie farther apart than that, or the second is passed unseen.
   */
  readonly scale?: number;
  /** 1: only where the value rises through 0; −1: only where it falls; 0: both. */
  readonly direction: -1 | 0 | 1;
}

export interface OdeProblem extends OdeSystem {
  readonly events?: readonly OdeEvent[];
  /**
   * Explicit steps to take before the run goes on implicitly; 0 for an implicit run,
   * Infinity for an explicit one.
   */
  readonly explicitSteps?: number;
  /** Steps allowed, taken and rejected together. */
  readonly maxSteps?: number;
}

export interface OdeRun {
  readonly t: number;
  readonly y: Float64Array;
  /** The event that stopped the run; null when it reached the end time. */
  readonly event: string | null;
  /** Accepted steps in order, which cover the run without a gap. */
  readonly steps: readonly DenseStep[];
  readonly rejected: number;
  /** Size the controller would try next, for a continuation. */
  readonly nextH: number;
}

/** The step control could not go on: `reason` says whether steps ran out or became too small for a double. */
export class IntegrationError extends Error {
  readonly reason: "too-many-steps" | "step-too-small";
  readonly t: number;
  constructor(reason: "too-many-steps" | "step-too-small", t: number) {
    super(`integrate: ${reason} at t = ${t}`);
    this.name = "IntegrationError";
    this.reason = reason;
    this.t = t;
  }
}

// Gustafsson's PI control with the constants of DOPRI5 (Hairer, Nørsett & Wanner I, II.4):
// safety, bounds of one change.
const SAFETY = 0.9;
const BETA = 0.04;
const SHRINK = 0.2;
const GROW = 10;
// some 1 ms; a smooth launch needs 50 to 300 at the usual tolerance, so what is left then is stiff
const EXPLICIT_STEPS = 400;
const MAX_STEPS = 50_000;

// What a step spends of a budget of work: its evaluations, and for an implicit one as many
// again for its linear algebra.
const EXPLICIT_EVALUATIONS = 6;
const IMPLICIT_EVALUATIONS = 60;

/** Events within this, of their scale, of 0 take their side from the next step: rounding, not physics. */
export const ON_SURFACE = 1e-11;

/**
 * Integrates y' = f(t, y) from t0 to tEnd or to the first event with adaptive steps: explicit
 * Dormand-Prince 5(4), and when that has taken so many steps that the system must be stiff, implicit Radau
 * IIA of order 5 for what is left. Events are bracketed by accepted steps and located by repeating the step
 * with the size that ends on the surface, so their state has the full order of the method, not that of the
 * dense output. An event whose value starts at 0 takes its side from the first step. Two sign changes
 * inside one step are not seen.
 * @param y0 [n], not changed  @param firstH s, size of the first step to try; chosen when left out
 * Every step is counted against the budgets of work in force.
 * @throws IntegrationError when the steps run out or become too small
 * @throws RangeError when tEnd < t0, or a tolerance or an event's scale is not positive
 */
export function integrate(
  problem: OdeProblem,
  t0: number,
  y0: Float64Array,
  tEnd: number,
  firstH?: number,
): OdeRun {
  const { events = [], explicitSteps = EXPLICIT_STEPS, maxSteps = MAX_STEPS } = problem;
  if (!(tEnd >= t0)) throw new RangeError(`integrate: tEnd ${tEnd} is before t0 ${t0}`);
  checkTolerances(problem, y0.length);
  for (const { name, scale = 1 } of events) {
    if (!(scale > 0)) throw new RangeError(`integrate: event "${name}" has scale ${scale}`);
  }
  let t = t0;
  const y = Float64Array.from(y0);
  let rejected = 0;
  let lastError = 1e-4;
  let mayGrow = true;
  const steps: DenseStep[] = [];
  const sides = events.map((event) => sideOf(event, event.value(t, y)));
  let implicit = explicitSteps <= 0;
  let stepper = implicit ? implicitStepper(problem) : explicitStepper(problem);
  let h = firstH ?? firstStep(problem, t, y);
  while (t < tEnd) {
    if (steps.length + rejected >= maxSteps) throw new IntegrationError("too-many-steps", t);
    if (!implicit && steps.length >= explicitSteps) {
      implicit = true;
      stepper = implicitStepper(problem);
    }
    h = stepWithin(t, h, tEnd);
    spend(implicit ? IMPLICIT_EVALUATIONS : EXPLICIT_EVALUATIONS);
    const error = stepper.attempt(t, y, h);
    const exponent = 1 / (stepper.errorOrder + 1);
    const proportional = exponent - 0.75 * BETA;
    if (!(error <= 1)) {
      rejected++;
      mayGrow = false;
      h *= shrinkOf(error, proportional);
      continue;
    }
    const nextH = h * Math.min(mayGrow ? GROW : 1, growthOf(error, lastError, proportional));
    const dense = stepper.dense();
    const sidesBefore = [...sides];
    const found = firstEvent(dense);
    if (found) {
      // Where the step that ends on the surface cannot be taken, its end is that of
      // another: come closer first.
      if (!(stepper.attempt(t, y, found.hit) <= 1)) {
        rejected++;
        sides.splice(0, sides.length, ...sidesBefore);
        h /= 2;
        continue;
      }
      steps.push(stepper.dense());
      return {
        t: t + found.hit,
        y: Float64Array.from(stepper.end),
        event: found.event,
        steps,
        rejected,
        nextH,
      };
    }
    steps.push(dense);
    t = h === tEnd - t ? tEnd : t + h;
    y.set(stepper.end);
    lastError = Math.max(error, 1e-4);
    mayGrow = true;
    h = nextH;
  }
  return { t, y, event: null, steps, rejected, nextH: h };

  /** The earliest event inside the step just taken, as the step size that ends on it. */
  function firstEvent(dense: DenseStep): { event: string; hit: number } | null {
    const crossed: OdeEvent[] = [];
    for (let i = 0; i < events.length; i++) {
      const event = events[i];
      const before = sides[i];
      const after = sideOf(event, event.value(t + h, stepper.end));
      if (after !== 0) sides[i] = after;
      if (before === 0 || after === 0 || after === before) continue;
      if (event.direction === 0 || event.direction === after) crossed.push(event);
    }
    let found: { event: string; hit: number } | null = null;
    for (const event of crossed) {
      const hit = locate(event, dense);
      if (hit !== null && (found === null || hit < found.hit)) found = { event: event.name, hit };
    }
    return found;
  }

  /** Step size at which the event's value is 0: first on the dense output, then refined by repeated steps. */
  function locate(event: OdeEvent, dense: DenseStep): number | null {
    const onDense = (x: number) => event.value(t + x, denseAt(dense, t + x));
    const start = onDense(0);
    const end = onDense(dense.h);
    // On the surface to rounding at the start, on the far side of it: left behind already.
    if (start * end > 0) return null;
    let x = findRoot(onDense, 0, start, dense.h, end, 1e-15 * dense.h);
    const slope = (end - start) / dense.h;
    let [lastX, lastValue] = [Number.NaN, Number.NaN];
    for (let i = 0; i < 4 && x > 0; i++) {
      if (Number.isNaN(stepper.attempt(t, y, x))) break;
      const value = event.value(t + x, stepper.end);
      const secant = (value - lastValue) / (x - lastX);
      const rise = Number.isFinite(secant) && secant * slope > 0 ? secant : slope;
      const next = Math.min(dense.h, Math.max(0, x - value / rise));
      [lastX, lastValue] = [x, value];
      if (Math.abs(next - x) <= 1e-15 * Math.abs(t + x)) break;
      x = next;
    }
    return x;
  }
}

/** @throws RangeError when the tolerances are not positive, or not one for each component */
function checkTolerances({ relTol, absTol }: OdeSystem, components: number): void {
  if (!(relTol > 0) || absTol.length !== components || absTol.some((tol) => !(tol > 0))) {
    throw new RangeError(`integrate: need positive tolerances, one for each of ${components} components`);
  }
}

/** A step that does not leave a sliver before the end. @throws IntegrationError when it would not move t */
function stepWithin(t: number, h: number, tEnd: number): number {
  const size = t + 1.01 * h >= tEnd ? tEnd - t : h;
  if (t + size === t) throw new IntegrationError("step-too-small", t);
  return size;
}

/** What a rejected step is shortened by. */
function shrinkOf(error: number, exponent: number): number {
  return Number.isFinite(error) ? Math.max(SHRINK, SAFETY * error ** -exponent) : SHRINK;
}

/**
 * What an accepted step is changed by, from its error and that of the step before (a PI controller:
 * Hairer & Wanner II, IV.2).
 */
function growthOf(error: number, lastError: number, exponent: number): number {
  return Math.max(SHRINK, SAFETY * Math.max(error, 1e-10) ** -exponent * lastError ** BETA);
}

function sideOf({ scale = 1 }: OdeEvent, value: number): -1 | 0 | 1 {
  const width = ON_SURFACE * scale;
  return value > width ? 1 : value < -width ? -1 : 0;
}

/** First step after Hairer, Nørsett & Wanner I, II.4: an explicit Euler probe of the second derivative. */
function firstStep({ rhs, relTol, absTol }: OdeSystem, t: number, y: Float64Array): number {
  const slope = new Float64Array(y.length);
  rhs(t, y, slope);
  const scale = absTol.map((tol, i) => tol + relTol * Math.abs(y[i]));
  const norm = (v: (i: number) => number) =>
    Math.sqrt(scale.reduce((sum, s, i) => sum + (v(i) / s) ** 2, 0) / scale.length);
  const d0 = norm((i) => y[i]);
  const d1 = norm((i) => slope[i]);
  const h0 = d0 < 1e-5 || d1 < 1e-5 ? 1e-6 : (0.01 * d0) / d1;
  const probe = y.map((v, i) => v + h0 * slope[i]);
  const probeSlope = new Float64Array(y.length);
  rhs(t + h0, probe, probeSlope);
  const d2 = norm((i) => probeSlope[i] - slope[i]) / h0;
  const most = Math.max(d1, d2);
  const h1 = most <= 1e-15 ? Math.max(1e-6, h0 * 1e-3) : (0.01 / most) ** 0.2;
  return Math.min(100 * h0, h1);
}
