import { ok, type Result, refuse } from "../quantity/result.ts";
import { type MotionCandidates, SCAN, type Settled, SUDDEN } from "./motion-candidates.ts";
import { likeliestInstant, scannedInstants } from "./release-scan.ts";

/** Where release comes from: found in the motion, or seen by the person (s, with its u). */
export type ReleaseInput =
  | { readonly by: "change-point" }
  | { readonly by: "person"; readonly timeS: number; readonly u: number };

const LEAST_PUSH_FRAMES = 8;
const LEAST_FLIGHT_FRAMES = 5;
const LEAST_LEFT = 2 * Math.log(1000); // -2 log of how much less likely an onset may be and still count

/** A first estimate of release: tried at every frame with a coarse fit, the likeliest taken. */
export function scanRelease(
  candidates: MotionCandidates,
  release: ReleaseInput,
): Result<Settled, "no-push" | "undetermined"> {
  const { times, initial } = candidates;
  const [early, late] = initial.startRange;
  const startS = initial.atRest ? late - 0.25 * (late - early) : early;
  const firstPush = times.findIndex((t) => t > startS);
  const from = firstPush + LEAST_PUSH_FRAMES;
  const to = times.length - LEAST_FLIGHT_FRAMES - 1;
  if (from > to) {
    return refuse("no-push", {
      frames: times.length - firstPush,
      needed: LEAST_PUSH_FRAMES + LEAST_FLIGHT_FRAMES + 1,
    });
  }
  const instants =
    release.by === "person" ? [release.timeS] : scannedInstants(times.slice(from, to + 1), candidates.frameS);
  const best = likeliestInstant(instants, (releaseS) => {
    const settled = { startS, releaseS, smoothness: candidates.scanning };
    const posterior = candidates.fit(settled, SCAN);
    return posterior === null ? null : { settled, score: candidates.score(posterior) };
  });
  return best === null ? refuse("undetermined") : ok(best.settled);
}

/**
 * Start, release and smoothness refined in turn until they settle, for a gradual onset and for a sudden one:
 * which of them it was, a few frames often leave open.
 * @returns the likelier first; the other only where the marks leave it a thousandth or more
 */
export function refineTimes(
  candidates: MotionCandidates,
  scanned: Settled,
  release: ReleaseInput,
): readonly Settled[] {
  let now = candidates.smoothed(scanned, 8);
  now = withStart(candidates, now, WIDE);
  now = withRelease(candidates, now, release, WIDE);
  now = candidates.smoothed(now, 5);
  now = withStart(candidates, now, NEAR);
  now = withRelease(candidates, now, release, NEAR);
  now = candidates.smoothed(now, 3);
  if (!candidates.initial.atRest) return [now];
  const onset = candidates.onset(SUDDEN);
  let sudden: Settled = { ...now, smoothness: { ...now.smoothness, onset } };
  sudden = candidates.smoothed(withStart(candidates, sudden, NEAR), 3);
  const lead = candidates.scoreAt(now) - candidates.scoreAt(sudden); // of the sudden one
  if (Math.abs(lead) > LEAST_LEFT) return lead > 0 ? [sudden] : [now];
  return lead > 0 ? [sudden, now] : [now, sudden];
}

/** Frames a time may move to each side, and how many instants are tried. */
interface Reach {
  readonly startFrames: number;
  readonly releaseFrames: number;
  readonly tries: number;
}
const WIDE: Reach = { startFrames: Number.POSITIVE_INFINITY, releaseFrames: 6, tries: 9 };
const NEAR: Reach = { startFrames: 4, releaseFrames: 1.5, tries: 5 };

function withStart(candidates: MotionCandidates, now: Settled, reach: Reach): Settled {
  const { initial, frameS } = candidates;
  if (!initial.atRest) return now;
  const [early, late] = initial.startRange;
  const low = Math.max(early, now.startS - reach.startFrames * frameS);
  const high = Math.min(
    late,
    now.startS + reach.startFrames * frameS,
    now.releaseS - LEAST_PUSH_FRAMES * frameS,
  );
  return {
    ...now,
    startS: leastOf((startS) => candidates.scoreAt({ ...now, startS }), low, high, reach.tries),
  };
}

function withRelease(
  candidates: MotionCandidates,
  now: Settled,
  release: ReleaseInput,
  reach: Reach,
): Settled {
  if (release.by === "person") return now;
  const { frameS, endS } = candidates;
  const low = Math.max(now.startS + LEAST_PUSH_FRAMES * frameS, now.releaseS - reach.releaseFrames * frameS);
  const high = Math.min(endS - LEAST_FLIGHT_FRAMES * frameS, now.releaseS + reach.releaseFrames * frameS);
  return {
    ...now,
    releaseS: leastOf((releaseS) => candidates.scoreAt({ ...now, releaseS }), low, high, reach.tries),
  };
}

/**
 * Where a function of one time is least: an even scan, then five points between the best one's neighbours.
 * The small kinks that the likelihood has at frame times do not mislead it.
 */
function leastOf(f: (x: number) => number, low: number, high: number, tries: number): number {
  if (!(high > low)) return low;
  const step = (high - low) / (tries - 1);
  const first = lowest(f, low, step, tries);
  return lowest(f, Math.max(low, first - (2 * step) / 3), step / 3, 5);
}

function lowest(f: (x: number) => number, from: number, step: number, count: number): number {
  let [best, bestX] = [Number.POSITIVE_INFINITY, from];
  for (let i = 0; i < count; i++) {
    const x = from + i * step;
    const value = f(x);
    if (value < best) [best, bestX] = [value, x];
  }
  return bestX;
}
