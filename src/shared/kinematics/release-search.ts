import { ok, type Result, refuse } from "../quantity/result.ts";
import type { InitialMotion } from "./initial-motion.ts";
import { motionBasis } from "./motion-basis.ts";
import {
  improvedSmoothness,
  type MotionPosterior,
  type MotionProblem,
  motionPosterior,
  type NormalEquations,
  normalEquations,
  type Smoothness,
} from "./motion-posterior.ts";

/** Where release comes from: found in the motion, or seen by the person (s, with its u). */
export type ReleaseInput =
  | { readonly by: "change-point" }
  | { readonly by: "person"; readonly timeS: number; readonly u: number };

export interface WeightedPosterior {
  readonly weight: number;
  readonly posterior: MotionPosterior;
}

/** The times a fit hangs on, and the smoothness that goes with them. */
export interface Settled {
  readonly startS: number;
  readonly releaseS: number;
  readonly smoothness: Smoothness;
}

/** A candidate instant and how much time it stands for. */
interface GridPoint {
  readonly timeS: number;
  readonly width: number;
}

/** How finely the acceleration may bend. Scanning for release needs little; the final fit is limited by its priors, not by its knots. */
interface Fineness {
  readonly push: number;
  readonly flight: number;
}
const SCAN: Fineness = { push: 8, flight: 2 };
const FINAL: Fineness = { push: 22, flight: 5 };
// A valve or a thrust curve pushes from nothing; a latch lets the whole force go at once. Both are tried and the data choose.
const GRADUAL = 0.05;
const SUDDEN = 3;
const BRAKING_ODDS = 1000; // to one against; still nothing beside the evidence a real braking leaves
const REACH = 2.5; // standard deviations the grid of instants spans to each side
const LEAST_WEIGHT = 1e-3; // relative to the best part; together the dropped ones move a result by far less than its u
const CROWDING = 6; // last push interval over the first; a valve opens in about a sixth of the push

const LEAST_PUSH_FRAMES = 8;
const LEAST_FLIGHT_FRAMES = 5;
// After release the air's force changes slowly: at most this much from one knot to the next (sd). Common practice, no source.
const FLIGHT_CHANGE_SD = [5, 30] as const; // m/s², rad/s²

export class ReleaseSearch {
  readonly #problem: MotionProblem;
  readonly #initial: InitialMotion;
  readonly #times: readonly number[];
  readonly #least: Smoothness;
  readonly #most: Smoothness;

  constructor(problem: MotionProblem, initial: InitialMotion) {
    this.#problem = problem;
    this.#initial = initial;
    this.#times = problem.poses.map((pose) => pose.timeS);
    const { translation, angle } = initial.typical;
    const precision = (sd: number) => 1 / (sd * sd);
    this.#least = {
      push: [precision(3 * translation), precision(3 * translation), precision(3 * angle)],
      flight: [precision(FLIGHT_CHANGE_SD[0]), precision(FLIGHT_CHANGE_SD[1])],
      onset: this.#onset(GRADUAL),
    };
    this.#most = {
      push: [precision(1e-4 * translation), precision(1e-4 * translation), precision(1e-4 * angle)],
      flight: [precision(1e-4 * translation), precision(1e-4 * angle)],
      onset: this.#onset(GRADUAL),
    };
  }

  /** Prior of the acceleration right after the start, as a share of the typical one. */
  #onset(share: number): Smoothness["onset"] {
    const { translation, angle } = this.#initial.typical;
    return [1 / (share * translation) ** 2, 1 / (share * angle) ** 2];
  }

  /** The fit at given times, with this smoothness or one improved from it. */
  fit(settled: Settled, fineness: Fineness = FINAL): MotionPosterior | null {
    return motionPosterior(this.#problem, this.#equations(settled, fineness), settled.smoothness);
  }

  #equations(settled: Settled, fineness: Fineness): NormalEquations {
    const basis = motionBasis({
      atRest: this.#initial.atRest,
      startS: settled.startS,
      releaseS: settled.releaseS,
      endS: this.#times.at(-1) as number,
      pushIntervals: fineness.push,
      flightIntervals: fineness.flight,
      crowding: CROWDING,
    });
    return normalEquations(this.#problem, basis);
  }

  /** Smoothness at the maximum of the restricted likelihood for the given times (fixed-point steps). */
  smoothed(settled: Settled, steps: number, fineness: Fineness = FINAL): Settled {
    const equations = this.#equations(settled, fineness);
    let { smoothness } = settled;
    for (let step = 0; step < steps; step++) {
      const posterior = motionPosterior(this.#problem, equations, smoothness);
      if (posterior === null) break;
      smoothness = this.#withPushArm(improvedSmoothness(posterior, this.#least, this.#most));
    }
    return { ...settled, smoothness };
  }

  /**
   * A pitching moment in the push is the push times its arm, so the pitch acceleration may bend as much, for its size, as the
   * push does. Weak pitching would otherwise be smoothed to a straight line, and its stated uncertainty would be too small.
   */
  #withPushArm(smoothness: Smoothness): Smoothness {
    const { translation, angle } = this.#initial.typical;
    const [s, n, pitch] = smoothness.push;
    return { ...smoothness, push: [s, n, Math.min(pitch, s * (translation / angle) ** 2)] };
  }

  /** A first estimate: release tried at every frame with a coarse fit. */
  scan(release: ReleaseInput): Result<Settled, "no-push" | "no-flight" | "undetermined"> {
    const { startRange, typical } = this.#initial;
    const start = this.#initial.atRest
      ? startRange[1] - 0.25 * (startRange[1] - startRange[0])
      : startRange[0];
    const precision = (sd: number) => 1 / (sd * sd);
    const smoothness: Smoothness = {
      push: [
        precision(0.3 * typical.translation),
        precision(0.03 * typical.translation),
        precision(0.3 * typical.angle),
      ],
      flight: [precision(1), precision(5)],
      onset: this.#onset(this.#initial.atRest ? GRADUAL : SUDDEN),
    };
    const firstPush = this.#times.findIndex((t) => t > start);
    const from = firstPush + LEAST_PUSH_FRAMES;
    const to = this.#times.length - LEAST_FLIGHT_FRAMES - 1;
    if (from > to)
      return refuse("no-push", {
        frames: this.#times.length - firstPush,
        needed: LEAST_PUSH_FRAMES + LEAST_FLIGHT_FRAMES,
      });
    const candidates =
      release.by === "person"
        ? [release.timeS]
        : this.#times
            .slice(from, to + 1)
            .map((t, i) => t - 0.3 * (t - (this.#times[from + i - 1] as number)));
    let best: { settled: Settled; score: number } | null = null;
    for (const releaseS of candidates) {
      const settled = { startS: Math.min(start, releaseS - 1e-6), releaseS, smoothness };
      if (!(releaseS > start && releaseS < (this.#times.at(-1) as number))) continue;
      const posterior = this.fit(settled, SCAN);
      if (posterior !== null && (best === null || this.#score(posterior) < best.score))
        best = { settled, score: this.#score(posterior) };
    }
    if (best === null) return refuse("undetermined");
    return ok(best.settled);
  }

  /** Start, release and smoothness refined in turn until they settle, for the likelier of a gradual and a sudden onset. */
  refine(settled: Settled, release: ReleaseInput): Settled {
    if (!this.#initial.atRest) return this.#refine(settled, release);
    const [gradual, sudden] = [GRADUAL, SUDDEN].map((share) => {
      const start = { ...settled, smoothness: { ...settled.smoothness, onset: this.#onset(share) } };
      return this.#refine(start, release);
    }) as [Settled, Settled];
    const score = (one: Settled) => this.#scoreAt(one);
    return score(sudden) < score(gradual) ? sudden : gradual;
  }

  #refine(settled: Settled, release: ReleaseInput): Settled {
    const frame = this.#frameInterval();
    let now = this.smoothed(settled, 8);
    for (const reach of [6, 2, 1]) {
      if (this.#initial.atRest) {
        const [low, high] = this.#initial.startRange;
        const top = Math.min(high, now.releaseS - LEAST_PUSH_FRAMES * frame);
        const around =
          reach === 6
            ? ([low, top] as const)
            : ([
                Math.max(low, now.startS - 3 * reach * frame),
                Math.min(top, now.startS + 3 * reach * frame),
              ] as const);
        now = {
          ...now,
          startS: this.#least1d(around[0], around[1], reach === 6 ? 12 : 6, (startS) => ({ ...now, startS })),
        };
      }
      if (release.by === "change-point") {
        const [low, high] = this.#releaseRange(now.startS);
        now = {
          ...now,
          releaseS: this.#least1d(
            Math.max(low, now.releaseS - reach * frame),
            Math.min(high, now.releaseS + reach * frame),
            2 * Math.min(reach, 3) + 3,
            (releaseS) => ({ ...now, releaseS }),
          ),
        };
      }
      now = this.smoothed(now, 5);
    }
    return now;
  }

  /** The mixture over release and start times around the settled ones, weighted by restricted likelihood. */
  mixture(settled: Settled, release: ReleaseInput): readonly WeightedPosterior[] {
    const parts: { score: number; posterior: MotionPosterior }[] = [];
    const frame = this.#frameInterval();
    const single = (timeS: number): readonly GridPoint[] => [{ timeS, width: 1 }];
    const starts = this.#initial.atRest ? this.#grid(settled, "startS", frame, 7) : single(settled.startS);
    const releases =
      release.by === "person"
        ? [-2, -1, 0, 1, 2].map((z) => ({ timeS: settled.releaseS + z * release.u, width: 1 }))
        : this.#grid(settled, "releaseS", frame, 9);
    for (const at of releases) {
      for (const from of starts) {
        const posterior = this.#at({ ...settled, startS: from.timeS, releaseS: at.timeS });
        if (posterior === null) continue;
        // A release the person saw is taken at its word: its own spread weighs the instants, not the likelihood.
        const score =
          release.by === "person" ? ((at.timeS - settled.releaseS) / release.u) ** 2 : this.#score(posterior);
        parts.push({ score: score - 2 * Math.log(at.width * from.width), posterior });
      }
    }
    const least = Math.min(...parts.map((part) => part.score));
    const likely = parts
      .map(({ score, posterior }) => ({ posterior, weight: Math.exp((least - score) / 2) }))
      .filter((part) => part.weight > LEAST_WEIGHT);
    const total = likely.reduce((sum, part) => sum + part.weight, 0);
    return likely
      .map(({ weight, posterior }) => ({ weight: weight / total, posterior }))
      .sort((a, b) => b.weight - a.weight);
  }

  #at(settled: Settled): MotionPosterior | null {
    const end = this.#times.at(-1) as number;
    if (!(settled.startS < settled.releaseS && settled.releaseS < end)) return null;
    return this.fit(settled);
  }

  #scoreAt(settled: Settled): number {
    const posterior = this.#at(settled);
    return posterior === null ? Number.POSITIVE_INFINITY : this.#score(posterior);
  }

  /**
   * -2 log of how likely the times are. An airframe is rarely braked before it leaves (a vented cylinder can do it): long odds are
   * laid against a push that ends below zero, so that noise in the flight is not taken for the tail of a push.
   */
  #score(posterior: MotionPosterior): number {
    const { push } = posterior.basis;
    const atRelease = posterior.mean[push.first + push.count - 1] as number;
    const braking = 1 / (1 + Math.exp(atRelease / (0.05 * this.#initial.typical.translation)));
    return posterior.score + 2 * Math.log(BRAKING_ODDS) * braking;
  }

  /**
   * Points around a settled time, reaching about 2.5 standard deviations of its likelihood on each side. The sides are measured
   * apart: a slow onset leaves the start far less certain towards earlier than towards later. Weights are of points on
   * an uneven grid, so each counts for the width it stands for.
   */
  #grid(settled: Settled, which: "startS" | "releaseS", frame: number, count: number): readonly GridPoint[] {
    const here = this.#scoreAt(settled);
    const half = (count - 1) / 2;
    const [before, after] = [-1, 1].map((side) => this.#spread(settled, which, side * frame, here)) as [
      number,
      number,
    ];
    return Array.from({ length: count }, (_, i) => {
      const z = ((i - half) / half) * REACH;
      const width = i < half ? before : i > half ? after : (before + after) / 2;
      return { timeS: settled[which] + z * (z < 0 ? before : after), width };
    });
  }

  /** One standard deviation of the likelihood to one side: the score, which is z², has risen by 1 there. */
  #spread(settled: Settled, which: "startS" | "releaseS", sideS: number, here: number): number {
    let step = 0.25 * Math.abs(sideS);
    for (let tries = 0; tries < 8; tries++) {
      const rise = this.#scoreAt({ ...settled, [which]: settled[which] + Math.sign(sideS) * step }) - here;
      if (rise > 0.5) return rise < 1e3 ? step / Math.sqrt(rise) : step / 2;
      step *= 2;
    }
    return step;
  }

  /** Golden-section-like shrinking scan of one time: robust to the small kinks the likelihood has at frame times. */
  #least1d(low: number, high: number, points: number, candidate: (x: number) => Settled): number {
    let [a, b] = [low, high];
    let bestX = (a + b) / 2;
    for (let pass = 0; pass < 2; pass++) {
      let best = Number.POSITIVE_INFINITY;
      for (let i = 0; i < points; i++) {
        const x = a + ((b - a) * i) / (points - 1);
        const score = this.#scoreAt(candidate(x));
        if (score < best) {
          best = score;
          bestX = x;
        }
      }
      const step = (b - a) / (points - 1);
      [a, b] = [Math.max(low, bestX - step), Math.min(high, bestX + step)];
    }
    return bestX;
  }

  #releaseRange(startS: number): readonly [number, number] {
    const frame = this.#frameInterval();
    return [startS + LEAST_PUSH_FRAMES * frame, (this.#times.at(-1) as number) - LEAST_FLIGHT_FRAMES * frame];
  }

  #frameInterval(): number {
    const times = this.#times;
    return ((times.at(-1) as number) - (times[0] as number)) / (times.length - 1);
  }
}
