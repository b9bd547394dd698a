import { leastNear } from "../numeric/likelihood-profile.ts";
import { ok, type Result, refuse } from "../quantity/result.ts";
import type { InitialMotion } from "./initial-motion.ts";
import { WHITE_NOISE } from "./mark-noise.ts";
import { FADED, LOOSE_END, type MotionCandidates, SCAN, type Settled, SUDDEN } from "./motion-candidates.ts";
import { likeliestInstant, scannedInstants } from "./release-scan.ts";

/** Frames of push without which its curve is a guess. */
export const LEAST_PUSH_FRAMES = 3;
const LEAST_TURNING = 0.03; // rad/m: a push line 0.6 mm off an airframe whose radius of gyration is 0.14 m
// -2 log of the odds that even knots must have over crowded ones: pulses are found alike at 0, 4 and 6.
// Through a lens without a profile a ram's push gained 1.5, and its release was not known any more.
const LEAST_LEAD = 2 * Math.log(20);
const LEAST_LEFT = 2 * Math.log(1000); // -2 log of how much less likely an onset may be and still count

/**
 * A first estimate of release: tried at every frame with a coarse fit, and after the last one, where all of
 * the marks are push; the likeliest taken.
 */
export function scanRelease(candidates: MotionCandidates): Result<Settled, "no-push" | "undetermined"> {
  const { times, initial, frameS } = candidates;
  const [early, late] = initial.startRange;
  const startS = initial.atRest ? late - 0.25 * (late - early) : early;
  const firstPush = times.findIndex((t) => t > startS);
  const from = firstPush + LEAST_PUSH_FRAMES;
  if (from >= times.length) {
    return refuse("no-push", { frames: times.length - firstPush, needed: LEAST_PUSH_FRAMES + 1 });
  }
  const tried = (releaseS: number) => {
    const settled: Settled = {
      startS,
      releaseS,
      smoothness: candidates.scanning,
      knots: "crowded",
      noise: WHITE_NOISE,
      typical: initial.typical,
    };
    const posterior = candidates.fit(settled, SCAN);
    return posterior === null ? null : { settled, score: candidates.score(posterior) };
  };
  const instants = scannedInstants(times.slice(from), frameS);
  const found = [likeliestInstant(instants, tried), tried(candidates.latestRelease)];
  const best = found.reduce((a, b) => (a === null || (b !== null && b.score < a.score) ? b : a));
  return best === null ? refuse("undetermined") : ok(best.settled);
}

/** A typical acceleration of the push that a scan found: the mean of it, and of the pitch's. */
export function typicalOf(candidates: MotionCandidates, scanned: Settled): InitialMotion["typical"] | null {
  const posterior = candidates.fit(scanned, SCAN);
  if (posterior === null) return null;
  const { basis, mean } = posterior;
  const row = basis.row(basis.releaseS, 1);
  const gained = (coordinate: number) => {
    let sum = 0;
    for (let i = basis.push.first; i < basis.size; i++) sum += row[i] * mean[coordinate * basis.size + i];
    return sum;
  };
  const pushS = basis.releaseS - basis.startS;
  const [speed, pitchRate] = [gained(0), gained(2)];
  const translation = Math.abs(speed) / pushS;
  const angle = Math.max(Math.abs(pitchRate) / pushS, LEAST_TURNING * translation);
  return { translation, angle, arm: pitchRate / speed };
}

/**
 * Start, release and smoothness refined in turn until they settle, for a gradual onset and for a sudden one,
 * and for a push that is cut off and one that fades out: which of them it was, a few frames often leave open.
 * @returns the likeliest first; others only where the marks leave them a thousandth or more
 */
export function refineTimes(candidates: MotionCandidates, scanned: Settled): readonly Settled[] {
  const pushFrames = (scanned.releaseS - scanned.startS) / candidates.frameS;
  const looseEnd = pushFrames < FEW_FRAMES ? LOOSE_END.few : LOOSE_END.crowded;
  let now = candidates.smoothed({ ...scanned, smoothness: { ...scanned.smoothness, looseEnd } }, 8);
  now = withStart(candidates, now, WIDE);
  now = withRelease(candidates, now, WIDE);
  now = candidates.smoothed(now, 5);
  now = withStart(candidates, now, NEAR);
  now = withRelease(candidates, now, NEAR);
  now = withKnots(candidates, candidates.smoothed(now, 3));
  const onsets = candidates.initial.atRest ? [now, suddenly(candidates, now)] : [now];
  const ends = likeliest(candidates, onsets).flatMap((one) => [one, fading(candidates, one)]);
  return likeliest(
    candidates,
    likeliest(candidates, ends).map((one) => polished(candidates, one)),
  );
}

/**
 * The same motion on even knots where these serve the marks clearly better, each kind with a start and a
 * release of its own: by those of crowded knots, which bend a pulsating push away, even ones lost although
 * the marks were far better explained by them. What is even by a hair stays on crowded knots, whose end is
 * known better.
 */
function withKnots(candidates: MotionCandidates, now: Settled): Settled {
  const { push } = candidates.scanning;
  let even: Settled = { ...now, knots: "even", smoothness: { ...now.smoothness, push } };
  even = withStart(candidates, candidates.smoothed(even, 10), NEAR);
  even = candidates.smoothed(withRelease(candidates, even, WIDE), 5);
  even = candidates.smoothed(withStart(candidates, even, NEAR), 3);
  if (candidates.scoreAt(even) + LEAST_LEAD > candidates.scoreAt(now)) return now;
  even = { ...even, smoothness: { ...even.smoothness, looseEnd: LOOSE_END.even } };
  even = withRelease(candidates, withStart(candidates, candidates.smoothed(even, 3), NEAR), WIDE);
  return candidates.smoothed(even, 3);
}

/** The same motion with a push that begins at once. */
function suddenly(candidates: MotionCandidates, now: Settled): Settled {
  const onset = candidates.onset(SUDDEN);
  const sudden: Settled = { ...now, smoothness: { ...now.smoothness, onset } };
  return candidates.smoothed(withStart(candidates, sudden, NEAR), 3);
}

/** The same motion with a push that fades out: its end then lies later, where the other cut off its tail. */
function fading(candidates: MotionCandidates, now: Settled): Settled {
  const end = candidates.end(FADED);
  let faded: Settled = { ...now, smoothness: { ...now.smoothness, end } };
  const frames = (FADING_SHARE * (now.releaseS - now.startS)) / candidates.frameS;
  faded = withRelease(candidates, faded, { ...WIDE, releaseFrames: Math.max(frames, WIDE.releaseFrames) });
  return withRelease(candidates, candidates.smoothed(faded, 3), NEAR);
}

/** By score, those left out that are less than a thousandth as likely as the best. */
function likeliest(candidates: MotionCandidates, tried: readonly Settled[]): readonly Settled[] {
  const scored = tried.map((settled) => ({ settled, score: candidates.scoreAt(settled) }));
  const least = Math.min(...scored.map(({ score }) => score));
  return scored
    .filter(({ score }) => score - least < LEAST_LEFT)
    .sort((a, b) => a.score - b.score)
    .map(({ settled }) => settled);
}

/** Frames a time may move to each side, and how many instants are tried. */
interface Reach {
  readonly startFrames: number;
  readonly releaseFrames: number;
  readonly tries: number;
}
const WIDE: Reach = { startFrames: Number.POSITIVE_INFINITY, releaseFrames: 6, tries: 9 };
const NEAR: Reach = { startFrames: 4, releaseFrames: 1.5, tries: 5 };

const FEW_FRAMES = 12; // of push
const FADING_SHARE = 0.12; // of the push: as much of a tail as marks may leave open

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

function withRelease(candidates: MotionCandidates, now: Settled, reach: Reach): Settled {
  const { frameS, latestRelease } = candidates;
  const low = Math.max(now.startS + LEAST_PUSH_FRAMES * frameS, now.releaseS - reach.releaseFrames * frameS);
  const high = Math.min(latestRelease, now.releaseS + reach.releaseFrames * frameS);
  return {
    ...now,
    releaseS: leastOf((releaseS) => candidates.scoreAt({ ...now, releaseS }), low, high, reach.tries),
  };
}

/** Start and release to a small part of how far their likelihoods reach, however fine the marks are. */
function polished(candidates: MotionCandidates, settled: Settled): Settled {
  const { frameS, latestRelease, initial } = candidates;
  let now = settled;
  const [early, late] = initial.startRange;
  const least = (which: "startS" | "releaseS", low: number, high: number) => {
    const scoreAt = (timeS: number) => candidates.scoreAt({ ...now, [which]: timeS });
    now = { ...now, [which]: leastNear(scoreAt, now[which], frameS / 8, low, high) };
  };
  const push = LEAST_PUSH_FRAMES * frameS;
  if (initial.atRest) least("startS", early, Math.min(late, now.releaseS - push));
  least("releaseS", now.startS + push, latestRelease);
  return now;
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
