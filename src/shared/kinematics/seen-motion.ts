import { lastOf } from "../quantity/known-element.ts";
import type { Measured } from "../quantity/measured.ts";
import { ok, type Result, refuse } from "../quantity/result.ts";
import type { DoubtedMarks, MotionFit, MotionInput, MotionRefusal } from "./fitted-motion.ts";
import type { Linearised } from "./linearised-motion.ts";
import type { MotionCandidates, Settled } from "./motion-candidates.ts";
import { combined, type MotionPosterior } from "./motion-posterior.ts";
import type { WeightedPosterior } from "./release-mixture.ts";
import { LEAST_PUSH_FRAMES } from "./release-search.ts";
import { PUSHED_ON, SLOWED_BY_AIR } from "./smoothness-prior.ts";

/*
 * What of a launch its marks show: a push and its end, flight alone, or neither.
 */

// -2 log of the odds a push must have over flight from the first mark on: it would be stated from few frames
const LEAST_LEAD = 2 * Math.log(20);
// of what the air does by itself, beyond which it is not the air; one flight in 400 is by chance
const BEYOND_AIR = 3;
// chance that the last mark is still of the push, beyond which release is not stated
const MOST_UNSEEN = 0.05;

/**
 * A refusal where what follows release is no flight: it is likelier that something pushes on, or brakes, than
 * that the air does.
 */
export function pushedOn(
  candidates: MotionCandidates,
  settled: Settled,
  { powered }: MotionInput,
): Result<never, "pushed-on"> | null {
  if (powered === true || settled.releaseS > candidates.endS) return null;
  const { smoothness } = settled;
  const free = { ...settled, smoothness: { ...smoothness, air: PUSHED_ON } };
  const posterior = candidates.fit(free);
  if (posterior === null) return null;
  const { value, u } = meanInFlight(posterior);
  // By the mean alone, beside the likelihood: that one pays for each knot of the flight being free. A light
  // airframe may be slowed by far more than is usual; none is driven by the air.
  const beyond = value - SLOWED_BY_AIR.mean > BEYOND_AIR * Math.hypot(u, SLOWED_BY_AIR.sd);
  const likelier = candidates.score(posterior) + LEAST_LEAD < candidates.scoreAt(settled);
  return beyond || likelier ? refuse("pushed-on", { acceleration: value }) : null;
}

/** m/s² along, of the flight less gravity. */
function meanInFlight(posterior: MotionPosterior): Measured {
  const { flight } = posterior.basis;
  const weights = new Float64Array(posterior.mean.length);
  weights.fill(1 / flight.count, flight.first, flight.first + flight.count);
  return combined(posterior, weights);
}

/**
 * Whether marks show no push, or less than can be told: null when they do; the flight alone, from the first
 * mark on, when they begin with it; "later" when a push of too few frames comes before it.
 */
export function flightOnly(candidates: MotionCandidates, settled: Settled): Settled | "later" | null {
  const { frameS, initial, times } = candidates;
  const short = settled.releaseS - settled.startS < (LEAST_PUSH_FRAMES + 0.1) * frameS;
  if (initial.atRest) return short ? "later" : null;
  const flying: Settled = {
    ...settled,
    startS: times[0] - 2e-3 * frameS,
    releaseS: times[0] - 1e-3 * frameS,
    spreads: { startS: { before: 0, after: 0 }, releaseS: { before: 0, after: 0 } },
  };
  const lead = candidates.scoreAt(flying) - candidates.scoreAt(settled);
  return short || lead < LEAST_LEAD ? flying : null;
}

/** The mixture as a fit; or that no flight is seen, with the speed at the last mark. */
export function mixedFit(
  parts: readonly WeightedPosterior[],
  linear: Linearised,
  settled: readonly Settled[],
  doubted: DoubtedMarks,
  { release, powered = false }: MotionInput,
  shown: MotionFit["seen"],
): Result<MotionFit, MotionRefusal> {
  if (parts.length === 0) return refuse("undetermined");
  const { initial, shape, frames, converged } = linear;
  const endS = lastOf(frames)[0]?.timeS ?? 0;
  // One frame after release cannot tell a flight from a push that has just begun to fall.
  const lastS = frames.at(-2)?.[0]?.timeS ?? endS;
  const unseen = parts.filter(({ posterior }) => posterior.basis.releaseS > lastS);
  if (unseen.reduce((sum, part) => sum + part.weight, 0) > MOST_UNSEEN) {
    const { value, u } = speedAtEnd(unseen, endS);
    return refuse("no-flight", { speed: value, speedU: u });
  }
  const ended = parts.filter(({ posterior }) => posterior.basis.releaseS <= lastS);
  const total = ended.reduce((sum, part) => sum + part.weight, 0);
  const weighted = ended.map(({ weight, posterior }) => ({ weight: weight / total, posterior }));
  const best = weighted[0].posterior;
  const { directionRad } = initial;
  return ok({
    parts: weighted,
    best,
    directionRad,
    release,
    powered,
    initial,
    atRest: shown === "push" && initial.atRest,
    seen: shown,
    shape,
    frames,
    ...doubted,
    settled,
    converged,
  });
}

/** m/s along the launch direction at the last mark, where all of the marks may be push. */
function speedAtEnd(parts: readonly WeightedPosterior[], endS: number): Measured {
  const speeds = parts.map(({ weight, posterior }) => {
    const weights = new Float64Array(posterior.mean.length);
    weights.set(posterior.basis.row(endS, 1));
    return { weight, ...combined(posterior, weights) };
  });
  const total = speeds.reduce((sum, { weight }) => sum + weight, 0);
  const value = speeds.reduce((sum, one) => sum + one.weight * one.value, 0) / total;
  const variance = speeds.reduce((sum, one) => sum + one.weight * (one.u ** 2 + (one.value - value) ** 2), 0);
  return { value, u: Math.sqrt(variance / total) };
}
