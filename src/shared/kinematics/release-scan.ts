const EACH = 400; // so many instants are all tried; of more, some first
// Instants tried at first, evenly spread, at the least. Of 64 a push that ends in a tenth of the marked time
// is missed where marks are good to 0.02 px: the valley of its likelihood then is a few frames wide.
const FIRST = 200;
const HILLS = 5; // looked at more closely

/**
 * The likeliest of many instants, each of which costs a fit to all marks. Where there are more than 400,
 * every so many are tried, then those around the best five, ever closer: with as many frames again there are
 * ten fits more, not twice as many.
 * @param tried the fit at an instant with its score, least for the likeliest; null where there is none
 * @returns null when none of those tried gave a fit
 */
export function likeliestInstant<T extends { readonly score: number }>(
  instants: readonly number[],
  tried: (timeS: number) => T | null,
): T | null {
  const known = new Map<number, T | null>();
  const at = (i: number): T | null => {
    const before = known.get(i);
    if (before !== undefined) return before;
    const found = tried(instants[i]);
    known.set(i, found);
    return found;
  };
  const score = (i: number) =>
    i < 0 || i >= instants.length ? Number.POSITIVE_INFINITY : (at(i)?.score ?? Number.POSITIVE_INFINITY);
  let step = instants.length <= EACH ? 1 : 2 ** Math.floor(Math.log2(instants.length / FIRST));
  let best = bestOf(evenly(instants.length, step), score, (i) => hilltop(i, step, score));
  while (step > 1) {
    step /= 2;
    const near = best.flatMap((i) => [i - step, i, i + step]);
    best = bestOf([...new Set(near)], score, () => true);
  }
  return best.length === 0 ? null : at(best[0]);
}

/**
 * Instants to try release at: a third of a frame before every frame, because exactly on one the likelihood
 * has a kink, and as far apart where frames are missing.
 */
export function scannedInstants(timesS: readonly number[], frameS: number): readonly number[] {
  return timesS.flatMap((timeS, i) => {
    const missing = i === 0 ? 0 : Math.round((timeS - timesS[i - 1]) / frameS) - 1;
    return Array.from({ length: Math.max(0, missing) + 1 }, (_, k) => {
      const before = Math.max(0, missing) - k;
      return timeS - (before + 1 / 3) * frameS;
    });
  });
}

function evenly(count: number, step: number): readonly number[] {
  return Array.from({ length: Math.ceil(count / step) }, (_, i) => i * step);
}

function hilltop(i: number, step: number, score: (i: number) => number): boolean {
  return score(i) <= score(i - step) && score(i) <= score(i + step);
}

function bestOf(
  indices: readonly number[],
  score: (i: number) => number,
  counts: (i: number) => boolean,
): readonly number[] {
  return indices
    .filter((i) => score(i) < Number.POSITIVE_INFINITY && counts(i))
    .sort((a, b) => score(a) - score(b))
    .slice(0, HILLS);
}
