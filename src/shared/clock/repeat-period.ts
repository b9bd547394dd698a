/** A regular pattern of repeats: of every `everyFrames` frames, `repeats` repeat the one before. */
export interface RepeatPeriod {
  readonly everyFrames: number;
  readonly repeats: number;
  /** Every frame of the clip that the pattern says repeats, also where nothing moves; increasing. */
  readonly frames: readonly number[];
  /** Share of the judged frames that follow the pattern, 0 to 1. */
  readonly agreement: number;
}

const LONGEST = 30; // frames; one repeat in 30 is what a 29 to 30 conversion does
const AGREEMENT_NEEDED = 0.97; // one misjudged frame in thirty does not hide a pattern
const ROUNDS_NEEDED = 3; // a pattern seen fewer times may be chance

/**
 * The shortest period p whose residue classes k mod p are each all new or all repeated but for 3 % of the
 * judged frames. A class with no judged frame leaves the pattern open, so such a p is passed over.
 * @param states [n], true for a repeat, false for a new picture, null where not judged
 * @returns null when there are no repeats or no regular pattern
 */
export function repeatPeriod(states: readonly (boolean | null)[]): RepeatPeriod | null {
  const judged = states.flatMap((state, frame) => (state === null ? [] : [{ frame, state }]));
  for (let p = 2; p <= Math.min(LONGEST, Math.floor(judged.length / ROUNDS_NEEDED)); p++) {
    const repeats = new Array<number>(p).fill(0);
    const all = new Array<number>(p).fill(0);
    for (const { frame, state } of judged) {
      all[frame % p] = all[frame % p] + 1;
      if (state) repeats[frame % p] = repeats[frame % p] + 1;
    }
    if (all.some((count) => count < 1)) continue;
    const isRepeat = repeats.map((count, i) => count > all[i] / 2);
    const follow = judged.filter(({ frame, state }) => isRepeat[frame % p] === state).length;
    const agreement = follow / judged.length;
    // A rare repeat hides in the 3 %: the classes called repeats must hold them, and not miss them either.
    const caught = judged.filter(({ frame, state }) => state && isRepeat[frame % p]).length;
    const found = judged.filter(({ state }) => state).length;
    if (!isRepeat.includes(true) || agreement < AGREEMENT_NEEDED || caught < 0.8 * found) continue;
    const frames = states.flatMap((_, k) => (k > 0 && isRepeat[k % p] ? [k] : []));
    return { everyFrames: p, repeats: isRepeat.filter(Boolean).length, frames, agreement };
  }
  return null;
}
