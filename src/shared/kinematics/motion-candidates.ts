import { STANDARD_GRAVITY } from "../quantity/gravity.ts";
import { lastOf } from "../quantity/known-element.ts";
import type { InitialMotion } from "./initial-motion.ts";
import type { MarkNoise } from "./mark-noise.ts";
import { motionBasis } from "./motion-basis.ts";
import {
  improvedSmoothness,
  type MotionPosterior,
  motionPosterior,
  type SmoothnessBounds,
} from "./motion-posterior.ts";
import { type MotionProblem, type NormalEquations, normalEquations } from "./normal-equations.ts";
import { evidenceScore, type ReleaseInput } from "./release-evidence.ts";
import { SLOWED_BY_AIR, type Smoothness } from "./smoothness-prior.ts";

/** The times a fit depends on, and the smoothness that goes with them. */
export interface Settled {
  readonly startS: number;
  readonly releaseS: number;
  readonly smoothness: Smoothness;
  readonly knots: PushKnots;
  /** Of the marks, on which they were found. */
  readonly noise: MarkNoise;
  /** The scale of the push on which they were found. */
  readonly typical: InitialMotion["typical"];
  /** How far the likelihood of each time reaches, once that has been found. */
  readonly spreads?: { readonly startS: Spread; readonly releaseS: Spread };
}

/** s, one standard deviation towards earlier and towards later. */
export interface Spread {
  readonly before: number;
  readonly after: number;
}

/**
 * Where the push may bend: at knots that crowd towards the start, looser there, as a valve opens; or at more
 * of them, evenly, all alike, as a push does that pulsates or changes late.
 */
export type PushKnots = "crowded" | "even";

/**
 * How finely the acceleration may bend. Scanning for release needs little; the final fit is limited by its
 * priors, not by its knots.
 */
export interface Fineness {
  readonly push: number;
  readonly flight: number;
  /** Last push interval over the first. */
  readonly crowding: number;
  /** How much freer the first bends of the push are than its last. */
  readonly loosest: number;
}
// Crowding of 3, 6, 9, 12 and 25: the least error of the peak over simulated ram shots. How loose: of 4, 10
// and 30 times over the first 6, 10, 15 and 21 bends the likeliest over 80 simulated ram shots (restricted
// likelihood, other shots than those of the truth bench): a valve makes the push rise from nothing within a
// few knots and fall slowly after that, and one smoothness for both takes the corner between them for a push
// that began late and at once.
export const SCAN: Fineness = { push: 8, flight: 2, crowding: 9, loosest: 10 };
const FINAL: Record<PushKnots, Fineness> = {
  crowded: { push: 22, flight: 5, crowding: 9, loosest: 10 },
  even: { push: 34, flight: 5, crowding: 1, loosest: 1 },
};

// A valve or a thrust curve pushes from nothing; a latch lets the whole force go at once. Both are tried,
// each counts for as much as the data leave it. As shares of the typical acceleration.
export const GRADUAL = 0.05;
export const SUDDEN = 1;
// What the push gains over the first interval between knots (sd): of 0.05, 0.1, 0.2 and 0.3 of the typical
// acceleration the one whose time of first motion is least biased over simulated ram shots.
const RISE = 0.2;
// After release the air's force changes slowly (sd over the root of a second): its drag goes with the square
// of a speed that hardly changes, its lift and moment follow the attitude. However smooth a flight looks, it
// changes as much as the least. Common practice, no source.
const MOST_CHANGE = [4, 40, 80] as const; // m/s², m/s², rad/s²
const LEAST_CHANGE = [0.3, 3, 3] as const;
// What changes across changes along by a tenth at least: a launcher that lets go takes its friction with it,
// lift its drag. Common practice, no source.
const ALONG_OF_ACROSS = 0.1;
// However little marks tell, a push along is not as straight as a ruler: taken for that, first motion came
// out up to 16 u late. What it bends at least from knot to knot, as a share of the typical acceleration: of
// 0.0001, 0.01, 0.02 and 0.03 the least that holds first motion where errors last or lie along (66 to 78 %
// within 2 u at 0.0001); at 0.03 the example's peak is a third less sure.
const STRAIGHTEST = 0.02;
// Jump at release, of a push that is cut off, and of one that fades out: as shares of
// the typical acceleration.
export const CUT_OFF = 0.5;
export const FADED = 0.05;
// A push may bend near release as much as anywhere, but only the few marks around it tell: a prior that holds
// it straight there puts release late where the push bends, by 0.6 u for a ram. Of 1, 2, 3, 4 and 6 times
// over the last bends: a ram's end that is held more loosely is mistaken for one that fades (the example's
// travel to release is then known to 33 mm in place of 11); few frames of push, or one that pulsates, need
// 3 and no more, lest marks that end with the push show a release.
export const LOOSE_END = { crowded: 1, few: 3, even: 3 } as const;
const LEAST_FLIGHT_FRAMES = 3; // that the knots of the flight span, seen or not
// A push that has faded out is no brake: the odds turn where the launcher holds the airframe back with 6 % of
// the typical push.
const BRAKING_WIDTH = 0.02;
const BRAKING_FROM = -0.06;
const PUSHING_FROM = 0.1;
const LAST_FRAMES = 6; // the slope of fewer is a guess
const BRAKING_ODDS = 1000; // to one against; still nothing beside the evidence a real braking leaves

/** A matrix that is written over by the next candidate. */
interface Room {
  gram: Float64Array;
}

/** Every way one shot's motion may be fitted: by start, release and smoothness; and how likely each is. */
export class MotionCandidates {
  readonly problem: MotionProblem;
  readonly initial: InitialMotion;
  /** [frames], s. */
  readonly times: readonly number[];
  readonly #least: SmoothnessBounds;
  readonly #most: SmoothnessBounds;

  readonly #release: ReleaseInput;
  readonly #air: Smoothness["air"];
  readonly #room: Room = { gram: new Float64Array(0) };

  /**
   * @param release what else tells of release; the likelihood of a time counts it in
   * @param air what to expect of the flight
   */
  constructor(
    problem: MotionProblem,
    initial: InitialMotion,
    release: ReleaseInput = { by: "change-point" },
    air: Smoothness["air"] = SLOWED_BY_AIR,
  ) {
    this.problem = problem;
    this.initial = initial;
    this.#release = release;
    this.#air = air;
    this.times = problem.poses.map((pose) => pose.timeS);
    const { translation, angle } = initial.typical;
    const sizes = [translation, translation, angle] as const;
    this.#least = {
      push: three(sizes.map((size) => precision(3 * size))),
      flight: three(MOST_CHANGE.map(precision)),
    };
    this.#most = {
      push: [precision(STRAIGHTEST * sizes[0]), precision(1e-4 * sizes[1]), precision(1e-4 * sizes[2])],
      flight: three(LEAST_CHANGE.map(precision)),
    };
  }

  get endS(): number {
    return lastOf(this.times);
  }

  /** s, an instant after the last mark: with release there nothing of the flight is seen. */
  get latestRelease(): number {
    return this.endS + this.frameS / 2;
  }

  get frameS(): number {
    return (this.endS - this.times[0]) / (this.times.length - 1);
  }

  /** Prior precision of the acceleration right after the start, along as a share of the typical one. */
  onset(share: number): Smoothness["onset"] {
    const { translation, angle } = this.initial.typical;
    // Across and of what the arm does not explain there is nothing to begin at once.
    const others = this.initial.atRest ? GRADUAL : SUDDEN;
    return [precision(share * translation), precision(others * translation), precision(others * angle)];
  }

  /** Prior precision of the jump at release, as a share of the typical acceleration. */
  end(share: number): Smoothness["end"] {
    return precision(share * this.initial.typical.translation);
  }

  /**
   * Prior precision of how the push begins to rise; where it began before the first
   * mark nothing is known of it.
   */
  #rise(): Smoothness["rise"] {
    const { translation, angle } = this.initial.typical;
    const share = this.initial.atRest ? RISE : SUDDEN;
    return [precision(share * translation), precision(share * translation), precision(share * angle)];
  }

  /** Smoothness to scan with: loose enough for any push, tight enough across it. */
  get scanning(): Smoothness {
    const { translation, angle } = this.initial.typical;
    return {
      push: [precision(0.3 * translation), precision(0.03 * translation), precision(0.3 * angle)],
      flight: three(MOST_CHANGE.map(precision)),
      onset: this.onset(this.initial.atRest ? GRADUAL : SUDDEN),
      rise: this.#rise(),
      end: this.end(CUT_OFF),
      looseEnd: LOOSE_END.crowded,
      air: this.#air,
      arm: this.initial.typical.arm,
    };
  }

  /**
   * The fit at given times and smoothness; null when the times are out of order or the
   * marks do not determine it.
   */
  fit(
    settled: Omit<Settled, "typical" | "noise">,
    fineness: Fineness = FINAL[settled.knots],
  ): MotionPosterior | null {
    return this.#fitIn(null, settled, fineness);
  }

  /**
   * The fit at given times with its score, where that is below `most`; of most of many tried nothing is kept.
   */
  fitBelow(
    most: number,
    settled: Omit<Settled, "typical" | "noise">,
  ): { readonly score: number; readonly posterior: MotionPosterior } | null {
    const posterior = this.#fitIn(this.#room, settled);
    if (posterior === null) return null;
    const score = this.score(posterior);
    return score < most ? { score, posterior: { ...posterior, factor: posterior.factor.slice() } } : null;
  }

  /** A score needs no matrix of its own: one is used again and again, where the size is the same. */
  #fitIn(
    room: Room | null,
    settled: Omit<Settled, "typical" | "noise">,
    fineness: Fineness = FINAL[settled.knots],
  ): MotionPosterior | null {
    if (!(settled.startS < settled.releaseS && settled.releaseS <= this.latestRelease)) return null;
    const equations = this.#equations(settled, fineness, room);
    return motionPosterior(this.problem, equations, settled.smoothness, equations.gram);
  }

  /** The same times with smoothness at the maximum of the restricted likelihood (fixed-point steps). */
  smoothed(settled: Settled, steps: number): Settled {
    const equations = this.#equations(settled, FINAL[settled.knots]);
    const room = new Float64Array(equations.gram.length);
    let { smoothness } = settled;
    for (let step = 0; step < steps; step++) {
      const posterior = motionPosterior(this.problem, equations, smoothness, room);
      if (posterior === null) break;
      smoothness = withFlightCoupled(
        this.#withPushArm(improvedSmoothness(posterior, this.#least, this.#most)),
      );
    }
    return { ...settled, smoothness };
  }

  scoreAt(settled: Settled): number {
    const posterior = this.#fitIn(this.#room, settled);
    return posterior === null ? Number.POSITIVE_INFINITY : this.score(posterior);
  }

  /**
   * -2 log of how likely the times are. An airframe is rarely braked before it leaves (a vented cylinder
   * can do it): long odds are laid against a push that ends below zero, so that noise in the flight is not
   * taken for the tail of a push.
   */
  score(posterior: MotionPosterior): number {
    const { push } = posterior.basis;
    const { translation } = this.initial.typical;
    const weight = STANDARD_GRAVITY * Math.sin(this.problem.directionRad);
    // Where no release was seen the last marks are still of a push, or they are not.
    const unseen = posterior.basis.releaseS > this.endS;
    const last = posterior.mean[push.first + push.count - 1];
    const atRelease = weight + (unseen ? Math.min(last, this.#lastGain(posterior)) : last);
    const from = unseen ? PUSHING_FROM : BRAKING_FROM;
    const braking = 1 / (1 + Math.exp((atRelease / translation - from) / BRAKING_WIDTH));
    const evidence = evidenceScore(this.#release, posterior);
    return posterior.score + 2 * Math.log(BRAKING_ODDS) * braking + evidence;
  }

  /** m/s², the mean acceleration along over the last marked frames. */
  #lastGain({ basis, mean }: MotionPosterior): number {
    const fromS = Math.max(basis.startS, this.endS - LAST_FRAMES * this.frameS);
    const [from, to] = [basis.row(fromS, 1), basis.row(this.endS, 1)];
    let gained = 0;
    for (let i = 0; i < basis.size; i++) gained += (to[i] - from[i]) * mean[i];
    return gained / (this.endS - fromS);
  }

  #equations(
    settled: Omit<Settled, "typical" | "noise">,
    fineness: Fineness,
    room: Room | null = null,
  ): NormalEquations {
    const basis = motionBasis({
      atRest: this.initial.atRest,
      startS: settled.startS,
      releaseS: settled.releaseS,
      endS: Math.max(this.endS, settled.releaseS + LEAST_FLIGHT_FRAMES * this.frameS),
      pushIntervals: fineness.push,
      flightIntervals: fineness.flight,
      crowding: fineness.crowding,
      loosest: fineness.loosest,
    });
    const length = 9 * basis.size * basis.size;
    if (room === null) return normalEquations(this.problem, basis, new Float64Array(length));
    if (room.gram.length !== length) room.gram = new Float64Array(length);
    return normalEquations(this.problem, basis, room.gram);
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

/**
 * Along a flight the force may change by a tenth of what it is found to change across. An airframe that
 * slides on along its launcher after the push shows plainly across when it leaves, but along by its friction
 * alone, which few marks tell: held constant, it put the release speed off by up to 4 u.
 */
function withFlightCoupled(smoothness: Smoothness): Smoothness {
  const [s, n, pitch] = smoothness.flight;
  return { ...smoothness, flight: [Math.min(s, n / ALONG_OF_ACROSS ** 2), n, pitch] };
}

function precision(sd: number): number {
  return 1 / (sd * sd);
}

function three(of: readonly number[]): [number, number, number] {
  return [of[0], of[1], of[2]];
}
