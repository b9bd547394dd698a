import { markingGaps } from "./marking-gaps.ts";
import type { MotionCandidates, Settled } from "./motion-candidates.ts";

const BESIDE = 2; // frames from a gap within which a release may as well lie in it
const PARTS = 3;
const SMOOTHING = 5; // steps: the push bends otherwise where it ends elsewhere
const LEAST_LEFT = 2 * Math.log(1000); // -2 log of how much less likely a part of the gap may be and count

/**
 * Where release lies in a gap of the marks, or beside one, they say little of when in it the push ended, and
 * each answer bends the push in its own way. The middle of each third of the gap is therefore smoothed for
 * itself; those the marks leave likely stand beside the motions found.
 * @param found the likeliest first
 */
export function acrossGap(candidates: MotionCandidates, found: readonly Settled[]): readonly Settled[] {
  const { times, frameS } = candidates;
  const at = found[0]?.releaseS ?? Number.NaN;
  const gap = markingGaps(times).find(
    ({ fromS, toS }) => at > fromS - BESIDE * frameS && at < toS + BESIDE * frameS,
  );
  if (gap === undefined) return found;
  const half = (gap.toS - gap.fromS) / PARTS / 2;
  const least = Math.min(...found.map((one) => candidates.scoreAt(one)));
  const inGap = found.flatMap((one) =>
    Array.from({ length: PARTS }, (_, part) => gap.fromS + (2 * part + 1) * half)
      .filter((releaseS) => releaseS - one.startS > (one.releaseS - one.startS) / 2)
      .map((releaseS) => candidates.smoothed({ ...one, releaseS }, SMOOTHING)),
  );
  const likely = inGap
    .map((settled) => ({ settled, score: candidates.scoreAt(settled) }))
    .filter(({ score }) => score - least < LEAST_LEFT)
    .map(({ settled }) => settled);
  return [...found, ...likely];
}
