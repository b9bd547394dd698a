import type { MotionCandidates, Settled } from "./motion-candidates.ts";
import type { MotionPosterior } from "./motion-posterior.ts";
import type { ReleaseInput } from "./release-search.ts";

export interface WeightedPosterior {
  readonly weight: number;
  readonly posterior: MotionPosterior;
}

/** A candidate instant and how much time it stands for. */
interface GridPoint {
  readonly timeS: number;
  readonly width: number;
}

const REACH = 2.5; // standard deviations the grid of instants spans to each side
/** How many instants of release and of start the grid holds. */
const FULL = { releases: 9, starts: 5 } as const;
const QUICK = { releases: 5, starts: 3 } as const;
// relative to the best part; together the dropped ones move a result by far less than its u
const LEAST_WEIGHT = 1e-3;

/**
 * The mixture over onsets, release and start times around the settled ones, weighted by restricted
 * likelihood; best first, weights sum to 1. A release the person saw is taken at its word: its own spread
 * weighs the instants, the likelihood only what is fitted for each of them.
 * @param settled times and smoothness of each onset that the marks leave open
 */
export function releaseMixture(
  candidates: MotionCandidates,
  settled: readonly Settled[],
  release: ReleaseInput,
  quick = false,
): readonly WeightedPosterior[] {
  const { releases, starts } = quick ? QUICK : FULL;
  if (release.by === "change-point") {
    const parts = settled.flatMap((one) =>
      fitted(candidates, one, grid(one, "releaseS", releases), startGrid(candidates, one, starts)),
    );
    return weighted(parts).sort((a, b) => b.weight - a.weight);
  }
  const instants = [-2, -1, 0, 1, 2].flatMap((z) => {
    const at = { timeS: release.timeS + z * release.u, width: 1 };
    const parts = settled.flatMap((one) => fitted(candidates, one, [at], startGrid(candidates, one, starts)));
    return parts.length === 0 ? [] : [{ odds: Math.exp((-z * z) / 2), parts: weighted(parts) }];
  });
  const total = instants.reduce((sum, { odds }) => sum + odds, 0);
  return instants
    .flatMap(({ odds, parts }) =>
      parts.map(({ weight, posterior }) => ({ weight: (weight * odds) / total, posterior })),
    )
    .sort((a, b) => b.weight - a.weight);
}

interface ScoredPosterior {
  readonly score: number;
  readonly posterior: MotionPosterior;
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

function fitted(
  candidates: MotionCandidates,
  settled: Settled,
  releases: readonly GridPoint[],
  starts: readonly GridPoint[],
): readonly ScoredPosterior[] {
  const parts: ScoredPosterior[] = [];
  for (const at of releases) {
    for (const from of starts) {
      const posterior = candidates.fit({ ...settled, startS: from.timeS, releaseS: at.timeS });
      if (posterior === null) continue;
      parts.push({
        score: candidates.score(posterior) - 2 * Math.log(at.width * from.width),
        posterior,
      });
    }
  }
  return parts;
}

function startGrid({ initial }: MotionCandidates, settled: Settled, count: number): readonly GridPoint[] {
  return initial.atRest ? grid(settled, "startS", count) : [{ timeS: settled.startS, width: 1 }];
}

/**
 * Points around a settled time, reaching about 2.5 standard deviations of its likelihood to each side. A slow
 * onset leaves the start far less certain towards earlier than towards later, so its sides are measured
 * apart, and each point counts for the width it stands for.
 */
function grid(
  { spreads, ...settled }: Settled,
  which: "startS" | "releaseS",
  count: number,
): readonly GridPoint[] {
  if (spreads === undefined) throw new RangeError("grid: the spreads of these times were not found yet");
  const { before, after } = spreads[which];
  const half = (count - 1) / 2;
  return Array.from({ length: count }, (_, i) => {
    const z = ((i - half) / half) * REACH;
    const width = i < half ? before : i > half ? after : (before + after) / 2;
    return { timeS: settled[which] + z * (z < 0 ? before : after), width };
  });
}

/**
 * The settled times with how far their likelihood reaches; they keep what was found
 * for nearly the same marks.
 */
export function withSpreads(candidates: MotionCandidates, settled: Settled): Settled {
  if (settled.spreads !== undefined) return settled;
  const here = candidates.scoreAt(settled);
  const side = (which: "startS" | "releaseS", way: 1 | -1) => spread(candidates, settled, which, way, here);
  const release = (side("releaseS", -1) + side("releaseS", 1)) / 2;
  const start = candidates.initial.atRest
    ? { before: side("startS", -1), after: side("startS", 1) }
    : { before: 0, after: 0 };
  return { ...settled, spreads: { startS: start, releaseS: { before: release, after: release } } };
}

/** One standard deviation of the likelihood to one side: the score, which is z², has risen by 1 there. */
function spread(
  candidates: MotionCandidates,
  settled: Settled,
  which: "startS" | "releaseS",
  side: 1 | -1,
  here: number,
): number {
  let step = 0.5 * candidates.frameS;
  for (let tries = 0; tries < 7; tries++) {
    const rise = candidates.scoreAt({ ...settled, [which]: settled[which] + side * step }) - here;
    if (rise > 0.5) return rise < 1e3 ? step / Math.sqrt(rise) : step / 2;
    step *= 2;
  }
  return step;
}
