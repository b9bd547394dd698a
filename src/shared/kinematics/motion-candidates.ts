import { lastOf } from "../quantity/known-element.ts";
import type { InitialMotion } from "./initial-motion.ts";
import { motionBasis } from "./motion-basis.ts";
import { improvedSmoothness, type MotionPosterior, motionPosterior } from "./motion-posterior.ts";
import { type MotionProblem, type NormalEquations, normalEquations } from "./normal-equations.ts";
import type { Smoothness } from "./smoothness-prior.ts";

/** The times a fit depends on, and the smoothness that goes with them. */
export interface Settled {
  readonly startS: number;
  readonly releaseS: number;
  readonly smoothness: Smoothness;
  /** How far the likelihood of each time reaches, once that has been found. */
  readonly spreads?: { readonly startS: Spread; readonly releaseS: Spread };
}

/** s, one standard deviation towards earlier and towards later. */
export interface Spread {
  readonly before: number;
  readonly after: number;
}

/**
 * How finely the acceleration may bend. Scanning for release needs little; the final fit is limited by its
 * priors, not by its knots.
 */
export interface Fineness {
  readonly push: number;
  readonly flight: number;
}
export const SCAN: Fineness = { push: 8, flight: 2 };
const FINAL: Fineness = { push: 22, flight: 5 };
// last push interval over the first: of 3, 6, 9, 12 and 25 the least error of the peak
// over simulated ram shots
const CROWDING = 9;

// A valve or a thrust curve pushes from nothing; a latch lets the whole force go at once. Both are tried,
// each counts for as much as the data leave it. As shares of the typical acceleration.
export const GRADUAL = 0.05;
export const SUDDEN = 3;
// What the push gains over the first interval between knots (sd): of 0.05, 0.1, 0.2 and 0.3 of the typical
// acceleration the one whose time of first motion is least biased over simulated ram shots.
const RISE = 0.2;
// After release the air's force changes slowly: at most this much from one knot to the next (sd).
// Common practice, no source.
const FLIGHT_CHANGE_SD = [5, 30] as const; // m/s², rad/s²
const BRAKING_ODDS = 1000; // to one against; still nothing beside the evidence a real braking leaves

/** Every way one shot's motion may be fitted: by start, release and smoothness; and how likely each is. */
export class MotionCandidates {
  readonly problem: MotionProblem;
  readonly initial: InitialMotion;
  /** [frames], s. */
  readonly times: readonly number[];
  readonly #least: Smoothness;
  readonly #most: Smoothness;

  constructor(problem: MotionProblem, initial: InitialMotion) {
    this.problem = problem;
    this.initial = initial;
    this.times = problem.poses.map((pose) => pose.timeS);
    const { translation, angle } = initial.typical;
    // not searched: the bounds only need to be whole
    const held = { onset: this.onset(GRADUAL), rise: this.#rise() };
    this.#least = {
      push: [precision(3 * translation), precision(3 * translation), precision(3 * angle)],
      flight: [precision(FLIGHT_CHANGE_SD[0]), precision(FLIGHT_CHANGE_SD[1])],
      ...held,
    };
    this.#most = {
      push: [precision(1e-4 * translation), precision(1e-4 * translation), precision(1e-4 * angle)],
      flight: [precision(1e-4 * translation), precision(1e-4 * angle)],
      ...held,
    };
  }

  get endS(): number {
    return lastOf(this.times);
  }

  get frameS(): number {
    return (this.endS - this.times[0]) / (this.times.length - 1);
  }

  /** Prior precision of the acceleration right after the start, as a share of the typical one. */
  onset(share: number): Smoothness["onset"] {
    const { translation, angle } = this.initial.typical;
    return [precision(share * translation), precision(share * angle)];
  }

  /**
   * Prior precision of how the push begins to rise; where it began before the first
   * mark nothing is known of it.
   */
  #rise(): Smoothness["rise"] {
    return this.onset(this.initial.atRest ? RISE : SUDDEN);
  }

  /** Smoothness to scan with: loose enough for any push, tight enough across it. */
  get scanning(): Smoothness {
    const { translation, angle } = this.initial.typical;
    return {
      push: [precision(0.3 * translation), precision(0.03 * translation), precision(0.3 * angle)],
      flight: [precision(1), precision(5)],
      onset: this.onset(this.initial.atRest ? GRADUAL : SUDDEN),
      rise: this.#rise(),
    };
  }

  /**
   * The fit at given times and smoothness; null when the times are out of order or the
   * marks do not determine it.
   */
  fit(settled: Settled, fineness: Fineness = FINAL): MotionPosterior | null {
    if (!(settled.startS < settled.releaseS && settled.releaseS < this.endS)) return null;
    return motionPosterior(this.problem, this.#equations(settled, fineness), settled.smoothness, true);
  }

  /** The same times with smoothness at the maximum of the restricted likelihood (fixed-point steps). */
  smoothed(settled: Settled, steps: number): Settled {
    const equations = this.#equations(settled, FINAL);
    let { smoothness } = settled;
    for (let step = 0; step < steps; step++) {
      const posterior = motionPosterior(this.problem, equations, smoothness);
      if (posterior === null) break;
      smoothness = this.#withPushArm(improvedSmoothness(posterior, this.#least, this.#most));
    }
    return { ...settled, smoothness };
  }

  scoreAt(settled: Settled): number {
    const posterior = this.fit(settled);
    return posterior === null ? Number.POSITIVE_INFINITY : this.score(posterior);
  }

  /**
   * -2 log of how likely the times are. An airframe is rarely braked before it leaves (a vented cylinder
   * can do it): long odds are laid against a push that ends below zero, so that noise in the flight is not
   * taken for the tail of a push.
   */
  score(posterior: MotionPosterior): number {
    const { push } = posterior.basis;
    const atRelease = posterior.mean[push.first + push.count - 1];
    const braking = 1 / (1 + Math.exp(atRelease / (0.05 * this.initial.typical.translation)));
    return posterior.score + 2 * Math.log(BRAKING_ODDS) * braking;
  }

  #equations(settled: Settled, fineness: Fineness): NormalEquations {
    const basis = motionBasis({
      atRest: this.initial.atRest,
      startS: settled.startS,
      releaseS: settled.releaseS,
      endS: this.endS,
      pushIntervals: fineness.push,
      flightIntervals: fineness.flight,
      crowding: CROWDING,
    });
    return normalEquations(this.problem, basis);
  }

  /**
   * A pitching moment in the push is the push times its arm, so the pitch acceleration may bend as much, for
   * its size, as the push does. Weak pitching would otherwise be smoothed to a straight line, and its stated
   * uncertainty would be too small.
   */
  #withPushArm(smoothness: Smoothness): Smoothness {
    const { translation, angle } = this.initial.typical;
    const [s, n, pitch] = smoothness.push;
    return { ...smoothness, push: [s, n, Math.min(pitch, s * (translation / angle) ** 2)] };
  }
}

function precision(sd: number): number {
  return 1 / (sd * sd);
}
