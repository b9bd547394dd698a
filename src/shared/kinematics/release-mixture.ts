import { reachOf } from "../numeric/likelihood-profile.ts";
import type { MotionCandidates, Settled, Spread } from "./motion-candidates.ts";
import type { MotionPosterior } from "./motion-posterior.ts";
import { LEAST_PUSH_FRAMES } from "./release-search.ts";

export interface WeightedPosterior {
  readonly weight: number;
  readonly posterior: MotionPosterior;
}

/** A candidate instant and how much time it stands for. */
interface GridPoint {
  readonly timeS: number;
  readonly width: number;
}

interface ScoredPosterior {
  readonly score: number;
  readonly posterior: MotionPosterior;
}

const REACH = 2.5; // standard deviations the grid of starts spans to each side
/** How many starts the grid holds, how far its releases lie apart (sd) and how far down they go (-2 log). */
interface Fineness {
  readonly starts: number;
  readonly step: number;
  readonly depth: number;
}
const FULL: Fineness = { starts: 5, step: 0.7, depth: 9 };
const QUICK: Fineness = { starts: 3, step: 1.2, depth: 6 };
// that a release after the last mark stands for: marking is ended soon after it, or soon before
const UNSEEN_FRAMES = 4;
const MOST_STEPS = 16; // of the release to each side; steps grow where the likelihood is flat
const FLAT_RISE = 0.4;
const GROWTH = 1.5;
// relative to the best part; together the dropped ones move a result by far less than its u
const LEAST_WEIGHT = 1e-3;
const NEGLIGIBLE = -2 * Math.log(LEAST_WEIGHT);

/**
 * The mixture over onsets, release and start times around the settled ones, weighted by restricted
 * likelihood and what else tells of release; best first, weights sum to 1. A release after the last mark
 * stands for all that may come later: it counts for four frames, since marking is ended about there.
 * @param settled times and smoothness of each onset that the marks leave open
 */
export function releaseMixture(
  candidates: MotionCandidates,
  settled: readonly Settled[],
  quick = false,
): readonly WeightedPosterior[] {
  const fineness = quick ? QUICK : FULL;
  const parts: ScoredPosterior[] = [];
  for (const one of settled) {
    const releases = releaseGrid(candidates, one, fineness);
    addFitted(parts, candidates, one, releases, startGrid(candidates, one, fineness.starts));
  }
  return weighted(parts).sort((a, b) => b.weight - a.weight);
}

/** Weights by score that sum to 1, the negligible left out. */
function weighted(parts: readonly ScoredPosterior[]): WeightedPosterior[] {
  const least = Math.min(...parts.map((part) => part.score));
  const likely = parts
    .map(({ score, posterior }) => ({ posterior, weight: Math.exp((least - score) / 2) }))
    .filter((part) => part.weight > LEAST_WEIGHT);
  const total = likely.reduce((sum, part) => sum + part.weight, 0);
  return likely.map(({ weight, posterior }) => ({ weight: weight / total, posterior }));
}

/** Adds the fits on a grid that are not negligible beside the best of those before them. */
function addFitted(
  parts: ScoredPosterior[],
  candidates: MotionCandidates,
  settled: Settled,
  releases: readonly GridPoint[],
  starts: readonly GridPoint[],
): void {
  let least = Math.min(...parts.map(({ score }) => score));
  for (const at of releases) {
    for (const from of starts) {
      const stands = 2 * Math.log(at.width * from.width);
      const times = { ...settled, startS: from.timeS, releaseS: at.timeS };
      const found = candidates.fitBelow(least + NEGLIGIBLE + stands, times);
      if (found === null) continue;
      const score = found.score - stands;
      parts.push({ score, posterior: found.posterior });
      least = Math.min(least, score);
    }
  }
}

function startGrid(
  { initial }: MotionCandidates,
  { startS, spreads }: Settled,
  count: number,
): readonly GridPoint[] {
  if (!initial.atRest) return [{ timeS: startS, width: 1 }];
  const { before, after } = known(spreads).startS;
  const half = (count - 1) / 2;
  return Array.from({ length: count }, (_, i) => {
    const z = ((i - half) / half) * REACH;
    const width = i < half ? before : i > half ? after : (before + after) / 2;
    return { timeS: startS + z * (z < 0 ? before : after), width };
  });
}

/**
 * Instants of release from the settled one outwards until the likelihood has fallen away: a push that ends at
 * once gives a few, close together; one that fades out gives many, far apart, and not the same to both sides.
 */
function releaseGrid(
  candidates: MotionCandidates,
  settled: Settled,
  fineness: Fineness,
): readonly GridPoint[] {
  const { latestRelease, endS, frameS } = candidates;
  const { before, after } = known(settled.spreads).releaseS;
  const earliest = settled.startS + LEAST_PUSH_FRAMES * frameS;
  const scoreAt = (releaseS: number) => candidates.scoreAt({ ...settled, releaseS });
  const here = scoreAt(settled.releaseS);
  const march = (side: 1 | -1, spread: number) => {
    const times: number[] = [];
    let [step, last] = [fineness.step * spread, here];
    let timeS = settled.releaseS;
    for (let i = 0; i < MOST_STEPS; i++) {
      timeS += side * step;
      if (timeS < earliest || timeS > endS) break;
      const score = scoreAt(timeS);
      if (score - here > fineness.depth) break;
      times.push(timeS);
      if (score - last < FLAT_RISE) step *= GROWTH;
      last = score;
    }
    return times;
  };
  const seen = settled.releaseS <= endS;
  const times = [
    ...march(-1, seen ? before : frameS / 2).reverse(),
    settled.releaseS,
    ...(seen ? march(1, after) : []),
  ].filter((timeS) => timeS <= endS);
  const grid = times.map((timeS, i) => {
    const left = i > 0 ? (timeS - times[i - 1]) / 2 : before / 2;
    const right = i < times.length - 1 ? (times[i + 1] - timeS) / 2 : Math.min(after, endS - timeS) / 2;
    return { timeS, width: Math.max(left + right, 1e-12) };
  });
  return [...grid, { timeS: latestRelease, width: UNSEEN_FRAMES * frameS }];
}

function known(spreads: Settled["spreads"]): NonNullable<Settled["spreads"]> {
  if (spreads === undefined) throw new RangeError("the spreads of these times were not found yet");
  return spreads;
}

/**
 * The settled times with how far their likelihood reaches; they keep what was found
 * for nearly the same marks.
 */
export function withSpreads(candidates: MotionCandidates, settled: Settled): Settled {
  if (settled.spreads !== undefined) return settled;
  const here = candidates.scoreAt(settled);
  const step = candidates.frameS / 2;
  const both = (which: "startS" | "releaseS"): Spread => {
    const scoreAt = (timeS: number) => candidates.scoreAt({ ...settled, [which]: timeS });
    const side = (way: 1 | -1) => reachOf(scoreAt, settled[which], here, step, way);
    return { before: side(-1), after: side(1) };
  };
  const startS = candidates.initial.atRest ? both("startS") : { before: 0, after: 0 };
  return { ...settled, spreads: { startS, releaseS: both("releaseS") } };
}
