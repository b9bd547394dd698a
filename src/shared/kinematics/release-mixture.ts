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
const LEAST_WEIGHT = 1e-3; // relative to the best part; together the dropped ones move a result by far less than its u

/** The mixture over release and start times around the settled ones, weighted by restricted likelihood; best first, weights sum to 1. */
export function releaseMixture(
  candidates: MotionCandidates,
  settled: Settled,
  release: ReleaseInput,
  quick = false,
): readonly WeightedPosterior[] {
  const { releases: releaseCount, starts: startCount } = quick ? QUICK : FULL;
  const parts: { score: number; posterior: MotionPosterior }[] = [];
  const starts = candidates.initial.atRest
    ? grid(candidates, settled, "startS", startCount)
    : [{ timeS: settled.startS, width: 1 }];
  const releases =
    release.by === "person"
      ? [-2, -1, 0, 1, 2].map((z) => ({ timeS: settled.releaseS + z * release.u, width: 1 }))
      : grid(candidates, settled, "releaseS", releaseCount);
  for (const at of releases) {
    for (const from of starts) {
      const posterior = candidates.fit({ ...settled, startS: from.timeS, releaseS: at.timeS });
      if (posterior === null) continue;
      // A release the person saw is taken at its word: its own spread weighs the instants, not the likelihood.
      const score =
        release.by === "person"
          ? ((at.timeS - settled.releaseS) / release.u) ** 2
          : candidates.score(posterior);
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

/**
 * Points around a settled time, reaching about 2.5 standard deviations of its likelihood to each side. A slow onset leaves the
 * start far less certain towards earlier than towards later, so its sides are measured apart, and each point counts for the
 * width it stands for.
 */
function grid(
  candidates: MotionCandidates,
  settled: Settled,
  which: "startS" | "releaseS",
  count: number,
): readonly GridPoint[] {
  const here = candidates.scoreAt(settled);
  let [before, after] = [
    spread(candidates, settled, which, -1, here),
    spread(candidates, settled, which, 1, here),
  ];
  if (which === "releaseS") before = after = (before + after) / 2;
  const half = (count - 1) / 2;
  return Array.from({ length: count }, (_, i) => {
    const z = ((i - half) / half) * REACH;
    const width = i < half ? before : i > half ? after : (before + after) / 2;
    return { timeS: settled[which] + z * (z < 0 ? before : after), width };
  });
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
