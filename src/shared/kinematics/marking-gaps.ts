/** A stretch without marks: from the last frame before it to the first after it. */
export interface MarkingGap {
  readonly fromS: number;
  readonly toS: number;
  /** Index of the frame after it. */
  readonly next: number;
}

const LEAST_GAP = 3.5; // mean distances of marked frames: of fewer the motion says nothing new

/** The gaps of the marks. @param timesS [n] of the marked frames, increasing */
export function markingGaps(timesS: readonly number[]): readonly MarkingGap[] {
  const meanS = ((timesS.at(-1) ?? 0) - (timesS[0] ?? 0)) / Math.max(1, timesS.length - 1);
  return timesS.flatMap((toS, next) => {
    const fromS = timesS[next - 1];
    return next > 0 && toS - fromS >= LEAST_GAP * meanS ? [{ fromS, toS, next }] : [];
  });
}
